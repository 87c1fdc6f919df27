import { describe, expect, it } from 'vitest';
import { commandForKey, KEY_HINT, KEYMAP } from '../../src/screen/keymap.ts';
import { COMMANDS } from '../../src/session/event.ts';

describe('the keys', () => {
  it('that a page-turning pedal sends do what a player with both hands full needs', () => {
    const pedal = ['pagedown', 'pageup', 'right', 'left', 'up', 'down', 'space'].map(commandForKey);
    expect(pedal).toEqual(['skip', 'back', 'skip', 'back', 'faster', 'slower', 'pause']);
  });

  it('reach every control', () => {
    expect(new Set(Object.values(KEYMAP))).toEqual(new Set(COMMANDS));
  });

  it('that mean nothing do nothing, inherited names included', () => {
    expect(commandForKey('z')).toBeUndefined();
    expect(commandForKey('constructor')).toBeUndefined();
  });

  it('are told in one line of eighty columns', () => {
    expect(KEY_HINT.length).toBeLessThanOrEqual(79);
  });
});
