// The worker thread that sounds the click, with outputs of its own: whatever the screen or the disk does to the main
// thread, a sound leaves here at its time. It sleeps on a shared number until shortly before the next sound and spins
// through the rest. Messages come by port; the shared number is raised to say that one is there.

import { setImmediate as nextTurn } from 'node:timers/promises';
import { parentPort, receiveMessageOnPort, workerData } from 'node:worker_threads';
import { EXIT, fail, ok, type Result } from '../problem.ts';
import {
  type ClickWorkerData,
  type FromClick,
  RAISED,
  STOP_ASKED,
  STOPPED,
  type ToClick,
} from './click-messages.ts';
import type { ClickOutput } from './click-output.ts';
import { loadMidiDriver } from './midi-driver.ts';
import { MidiOut } from './midi-out.ts';
import { SoundKeeper } from './sound-keeper.ts';
import { monotonicMicros } from './system-clock.ts';
import { raiseThreadPriority } from './thread-priority.ts';
import { SoundPlan, type TimedSound } from './timed-sound.ts';

/** Woken this long before a sound; the rest is spun through. Sleeping threads are woken up to 1 ms late. */
const SPIN_MICROS = 1500;
/** Longest sleep, so that an output that needs tending gets it. */
const TEND_MS = 10;

const { shared, port, midiRaw, nowhere, sound, loudness, measured } = workerData as ClickWorkerData;
const outputs: { output: ClickOutput; plan: SoundPlan }[] = [];
/** The player's own notes that sound, by pitch. */
const own = new Map<number, TimedSound>();
/** The end of an own note is not known when it starts; nobody holds one for so long. */
const LONGEST_OWN_MICROS = 60_000_000;

raiseThreadPriority();
const opened = await open();
const answer: FromClick = { type: 'open', result: opened };
parentPort?.postMessage(answer);
if (opened.ok) await run();
// The main thread may be waiting to end: it is told as soon as all is let go; a device may take longer to close.
const closing = outputs.map(({ output }) => output.close());
Atomics.store(shared, STOPPED, 1);
Atomics.notify(shared, STOPPED);
port.close();
await Promise.all(closing);

async function open(): Promise<Result<{ sounds: string }>> {
  const sounds: string[] = [];
  try {
    if (midiRaw !== undefined) {
      const driver = await loadMidiDriver();
      if (!driver.ok) return driver;
      const output = driver.value.openOutput(midiRaw);
      if (!output.ok) return output;
      outputs.push({ output: new MidiOut(output.value, loudness), plan: new SoundPlan() });
      sounds.push('MIDI');
    }
    if (nowhere) {
      const output = new MidiOut({ send: () => {}, destroy: () => {} }, loudness);
      outputs.push({ output, plan: new SoundPlan() });
      sounds.push('nothing');
    }
    if (sound) {
      const { openSoundOut } = await import('./sound-out.ts');
      const openSound = () => openSoundOut({ loudness, sink: sound.sink });
      const output = await openSound();
      if (!output.ok) return output;
      const kept = new SoundKeeper(output.value, openSound, monotonicMicros);
      outputs.push({ output: kept, plan: new SoundPlan() });
      sounds.push('sound');
    }
    return ok({ sounds: sounds.join(' and ') });
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    return fail({ code: 'click.broken', message: `Cannot sound the click: ${why}`, exitStatus: EXIT.device });
  }
}

async function run(): Promise<void> {
  const tended = outputs.some(({ output }) => output.tend);
  let lost = false;
  while (Atomics.load(shared, STOP_ASKED) === 0) {
    const raised = Atomics.load(shared, RAISED);
    for (let got = receiveMessageOnPort(port); got; got = receiveMessageOnPort(port)) obey(got.message);
    let next = Number.POSITIVE_INFINITY;
    for (const { output, plan } of outputs) {
      output.tend?.();
      sendDue(output, plan);
      next = Math.min(next, plan.nextMicros - output.leadMicros);
    }
    if (outputs.some(({ output }) => output.lost === true) !== lost) {
      lost = !lost;
      const news: FromClick = { type: lost ? 'lost' : 'found' };
      parentPort?.postMessage(news);
    }
    const leftMicros = next - monotonicMicros();
    if (leftMicros <= SPIN_MICROS) continue;
    const sleepMs = (leftMicros - SPIN_MICROS) / 1000;
    if (!tended) Atomics.wait(shared, RAISED, raised, sleepMs);
    else {
      // The sound library's own callbacks need a turn of this thread's loop now and then.
      Atomics.wait(shared, RAISED, raised, Math.min(TEND_MS, sleepMs));
      await nextTurn();
    }
  }
}

function obey(message: ToClick): void {
  if (message.type === 'own') {
    letOwnGo(message.pitch);
    if (message.velocity > 0) soundOwn(message.pitch, message.velocity);
    return;
  }
  if (message.type === 'own-silence') {
    for (const pitch of [...own.keys()]) letOwnGo(pitch);
    return;
  }
  for (const { output, plan } of outputs) {
    if (message.type === 'sounds') plan.add(message.sounds);
    else for (const timed of plan.silenceFrom(message.atMicros)) output.cut(timed, message.atMicros);
  }
}

function soundOwn(pitch: number, velocity: number): void {
  const atMicros = monotonicMicros();
  const note: TimedSound = {
    atMicros,
    endMicros: atMicros + LONGEST_OWN_MICROS,
    sound: { kind: 'note', pitch, velocity },
  };
  own.set(pitch, note);
  for (const { output } of outputs) output.start(note);
}

function letOwnGo(pitch: number): void {
  const note = own.get(pitch);
  if (!note) return;
  own.delete(pitch);
  for (const { output } of outputs) {
    output.cut(note, monotonicMicros());
    output.end(note);
  }
}

function sendDue(output: ClickOutput, plan: SoundPlan): void {
  for (const due of plan.handOver(monotonicMicros() + output.leadMicros)) {
    if (due.type === 'end') output.end(due.timed);
    else {
      output.start(due.timed);
      if (measured && output.leadMicros === 0) {
        const left: FromClick = {
          type: 'left',
          atMicros: due.timed.atMicros,
          lateMicros: monotonicMicros() - due.timed.atMicros,
        };
        parentPort?.postMessage(left);
      }
    }
  }
}
