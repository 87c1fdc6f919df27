// MIDI ports by name. ALSA calls them "Client:Port C:P"; the numbers change whenever something is plugged, so ports are
// known by the rest, and equal devices are told apart by counting them in order of their numbers. Other systems' names
// are taken as they are.

import { EXIT, fail, ok, type Result } from '../problem.ts';

export type PortDirection = 'input' | 'output';

export interface PortName {
  /** For people, unique in its list: "Tidewrack keys", "Tidewrack keys (2)". */
  readonly name: string;
  /** As the driver says it now, numbers included. */
  readonly raw: string;
}

const NUMBERS = / (\d+):(\d+)$/;
/** Ports that this library makes for itself, in this process or another: not instruments. */
const OWN = /^RtMidi (Input|Output) Client:/;

/** The lasting part of a driver's name. @example bareName('Keys:Keys MIDI 1 20:0') // 'Keys MIDI 1' */
export function bareName(raw: string): string {
  const withoutNumbers = raw.replace(NUMBERS, '');
  if (withoutNumbers === raw) return raw;
  const colon = withoutNumbers.indexOf(':');
  const client = withoutNumbers.slice(0, colon);
  const port = withoutNumbers.slice(colon + 1);
  if (colon < 0 || client === '' || port === '') return withoutNumbers;
  return port.startsWith(client) ? port : `${client} ${port}`;
}

/** The ports for people, in the driver's order; ports of our own making left out. */
export function namePorts(raws: readonly string[]): PortName[] {
  const kept = raws.filter((raw) => !OWN.test(raw));
  return kept.map((raw) => {
    const name = bareName(raw);
    const equals = kept.filter((other) => bareName(other) === name).sort(byNumbers);
    const place = equals.indexOf(raw);
    return { raw, name: place === 0 ? name : `${name} (${place + 1})` };
  });
}

/**
 * The one port whose name is `wanted`, or else contains it; capitals do not matter.
 * Problems: 'port.none' (there is no port at all), 'port.unknown', 'port.ambiguous'.
 */
export function findPort(
  ports: readonly PortName[],
  wanted: string,
  direction: PortDirection,
): Result<PortName> {
  const low = wanted.trim().toLowerCase();
  const exact = ports.find((port) => port.name.toLowerCase() === low);
  if (exact && low !== '') return ok(exact);
  const partly = ports.filter((port) => port.name.toLowerCase().includes(low));
  const only = partly[0];
  if (only && partly.length === 1) return ok(only);
  const about = `Cannot open MIDI ${direction} "${wanted}"`;
  if (ports.length === 0) {
    return fail({
      code: 'port.none',
      message: `${about}: nothing is plugged in`,
      hint: `Plug the instrument in and try again, or work with --from keys or --from model.`,
      exitStatus: EXIT.device,
    });
  }
  const listed = (partly.length > 1 ? partly : ports).map((port) => `"${port.name}"`).join(', ');
  return partly.length > 1
    ? fail({
        code: 'port.ambiguous',
        message: `${about}: ${partly.length} ${direction}s have that in their names`,
        hint: `Give more of the name: ${listed}.`,
        exitStatus: EXIT.device,
      })
    : fail({
        code: 'port.unknown',
        message: `${about}: there is no such ${direction}`,
        hint: `There ${ports.length === 1 ? 'is' : 'are'} ${listed}.`,
        exitStatus: EXIT.device,
      });
}

function byNumbers(a: string, b: string): number {
  const [, clientA = '0', portA = '0'] = NUMBERS.exec(a) ?? [];
  const [, clientB = '0', portB = '0'] = NUMBERS.exec(b) ?? [];
  return Number(clientA) - Number(clientB) || Number(portA) - Number(portB);
}
