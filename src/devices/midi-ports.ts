// Which MIDI inputs and outputs there are, by names that last.

import type { Result } from '../problem.ts';
import { ok } from '../problem.ts';
import { loadMidiDriver } from './midi-driver.ts';
import { findPort, namePorts, type PortDirection, type PortName } from './port-name.ts';

/** Names for people, unique in the list. Problem 'midi.none' where there is no MIDI system. */
export async function listInputs(): Promise<Result<string[]>> {
  return names(await listPorts('input'));
}

/** Names for people, unique in the list. Problem 'midi.none' where there is no MIDI system. */
export async function listOutputs(): Promise<Result<string[]>> {
  return names(await listPorts('output'));
}

/** The port of that name, or of which that is a part. Problems as of listInputs and findPort. */
export async function choosePort(wanted: string, direction: PortDirection): Promise<Result<PortName>> {
  const ports = await listPorts(direction);
  return ports.ok ? findPort(ports.value, wanted, direction) : ports;
}

async function listPorts(direction: PortDirection): Promise<Result<PortName[]>> {
  const driver = await loadMidiDriver();
  return driver.ok ? ok(namePorts(driver.value.portNames(direction))) : driver;
}

function names(ports: Result<PortName[]>): Result<string[]> {
  return ports.ok ? ok(ports.value.map((port) => port.name)) : ports;
}
