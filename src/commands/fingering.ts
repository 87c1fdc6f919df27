// `fettle fingering`: the fingerings of a passage decided beforehand.

import { passagePlan } from '../fingering/passage-plan.ts';
import { fingeringJson } from '../wording/fingering-json.ts';
import { listFingering } from '../wording/listing/fingering.ts';
import { readKeywork } from './keywork-argument.ts';
import { loadSpan, type PassageOptions } from './passage-argument.ts';
import { print } from './print.ts';
import { need } from './usage-problem.ts';

export interface FingeringOptions extends PassageOptions {
  readonly keywork?: string;
  readonly json?: boolean;
}

export async function fingering(argument: string, options: FingeringOptions): Promise<void> {
  const span = await loadSpan(argument, options);
  const plans = need(passagePlan(span.passage, readKeywork(options.keywork, span.passage)));
  if (options.json) {
    print(JSON.stringify(fingeringJson(span, plans), null, 2));
    return;
  }
  for (const line of listFingering(span, plans, process.stdout.columns ?? 80)) print(line);
}
