import { describe, expect, it } from 'vitest';
import { PROFILE_NAMES, PROFILES } from '../../src/simulation/profile.ts';
import { readProfile } from '../../src/simulation/read-profile.ts';

describe('naming a simulated player', () => {
  it('takes a profile, a seed and snags, all of them optional', () => {
    expect(readProfile('model')).toEqual({
      ok: true,
      value: { profile: PROFILES.pupil, seed: 1, snags: [] },
    });
    expect(readProfile('model:seed=3')).toMatchObject({ ok: true, value: { seed: 3 } });
    expect(readProfile('model:nervous,seed=7,snag=5,snag=12:blips')).toEqual({
      ok: true,
      value: {
        profile: PROFILES.nervous,
        seed: 7,
        snags: [
          { onset: 5, word: 'mixed' },
          { onset: 12, word: 'blips' },
        ],
      },
    });
    for (const name of PROFILE_NAMES) {
      expect(readProfile(`model:${name}`)).toMatchObject({ ok: true, value: { profile: { name } } });
    }
  });

  it('suggests the player that was probably meant, and lists them all', () => {
    const result = readProfile('model:nervos');
    expect(result).toMatchObject({ ok: false, problem: { code: 'model.profile', exitStatus: 2 } });
    if (result.ok) return;
    expect(result.problem.message).toBe('Cannot simulate "nervos": there is no such player');
    expect(result.problem.hint).toContain('Did you mean nervous?');
    expect(result.problem.hint).toContain('steady');
  });

  it('refuses what it does not know, each with its code', () => {
    const codes = [
      'model:toString',
      'model:pupil,sed=7',
      'model:pupil,seed=-1',
      'model:pupil,seed=',
      'model:pupil,snag=0',
      'model:pupil,snag=5:rushd',
    ].map((text) => {
      const result = readProfile(text);
      return result.ok ? 'ok' : result.problem.code;
    });
    expect(codes).toEqual([
      'model.profile',
      'model.option',
      'model.seed',
      'model.seed',
      'model.snag',
      'model.snag',
    ]);
  });

  it('never guesses wildly', () => {
    const result = readProfile('model:bagpipe');
    expect(result.ok ? '' : result.problem.hint).not.toContain('Did you mean');
  });
});
