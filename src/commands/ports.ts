// `fettle ports`: what is plugged in.

import { print } from './print.ts';
import { need } from './usage-problem.ts';

export async function ports(): Promise<void> {
  const { listInputs, listOutputs } = await import('../devices/midi-ports.ts');
  const inputs = need(await listInputs());
  const outputs = need(await listOutputs());
  const show = (names: readonly string[]) =>
    names.length > 0 ? names.map((name) => `  ${name}`).join('\n') : '  none';
  print(`Inputs (fettle work PASSAGE --from "part of a name"):\n${show(inputs)}`);
  print(`Outputs (--click-to "midi:part of a name"):\n${show(outputs)}`);
}
