// The drill book. To add a drill: write its file, add its line here.

import { nearWords } from '../music/near-word.ts';
import { ok, type Result } from '../problem.ts';
import { chain } from './chain.ts';
import type { Drill } from './drill.ts';
import { landings } from './landings.ts';
import { refuse } from './refusal.ts';
import { rhythms } from './rhythms.ts';
import { switchback } from './switchback.ts';
import { tenuto } from './tenuto.ts';
import { through } from './through.ts';
import { widening } from './widening.ts';

/** In the order in which a teacher would reach for them. */
export const DRILLS: readonly Drill[] = [landings, switchback, widening, tenuto, rhythms, chain, through];

export const DRILL_NAMES: readonly string[] = DRILLS.map((drill) => drill.name);

/** The drill of that name, in any case of letters; or a refusal that suggests near words. */
export function findDrill(name: string): Result<Drill> {
  const asked = name.trim().toLowerCase();
  const drill = DRILLS.find((candidate) => candidate.name === asked);
  if (drill) return ok(drill);
  if (asked === 'ladder') {
    return refuse(
      'unknown',
      'Cannot find drill "ladder": the tempo ladder is not a drill but a way to run any of them',
      'Choose a drill and give the ladder a start and a goal.',
    );
  }
  const near = nearWords(asked, DRILL_NAMES);
  return refuse(
    'unknown',
    `Cannot find drill "${name}": the drills are ${DRILL_NAMES.join(', ')}`,
    near.length > 0 ? `Did you mean ${near.join(' or ')}?` : 'fettle drills explains each of them.',
  );
}
