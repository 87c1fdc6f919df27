import { describe, expect, it } from 'vitest';
import { controlForKey, KEYMAP, keyHint } from '../../src/screen/keymap.ts';
import { CONTROLS } from '../../src/session/event.ts';

describe('the keys', () => {
  it('that a page-turning pedal sends do what a player with both hands full needs', () => {
    const pedal = ['pagedown', 'pageup', 'right', 'left', 'up', 'down', 'space'].map(controlForKey);
    expect(pedal).toEqual(['skip', 'back', 'skip', 'back', 'faster', 'slower', 'pause']);
  });

  it('reach every control', () => {
    expect(new Set(Object.values(KEYMAP))).toEqual(new Set(CONTROLS));
  });

  it('that mean nothing do nothing, inherited names included', () => {
    expect(controlForKey('z')).toBeUndefined();
    expect(controlForKey('constructor')).toBeUndefined();
  });

  it('are told in one line, of which a narrow terminal leaves out whole entries, how to leave last', () => {
    expect(keyHint(79)).toBe('space pause  enter again  right skip  up/down tempo  h hear  ? help  q leave');
    expect(keyHint(99)).toContain('left back');
    expect(keyHint(59)).toBe('space pause  enter again  right skip  q leave');
    expect(keyHint(73)).not.toContain('hear');
    expect(keyHint(39)).toBe('space pause  enter again  q leave');
    expect(keyHint(7)).toBe('q leave');
    expect(keyHint(6)).toBe('');
  });
});
