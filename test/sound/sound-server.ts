// A sound server of our own for one test: PulseAudio with a null sink, which plays in real time by the system's clock
// and whose other end can be recorded. No sound card, nothing emulated, nothing shared with the user's own server: it
// lives in a temporary folder with its own HOME and runtime folder, and ends with the test.

import { execFileSync, spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { sleep } from '../alsa/sequencer.ts';

/** The sink plays and records at this rate; its clients are resampled by the server. */
export const SERVER_RATE = 50_000;

/** Without clients it ends by itself after so long, whatever became of the test. */
const LONELY_SECONDS = 120;

export interface SoundServer {
  /** For every program that is to be heard here. */
  readonly env: NodeJS.ProcessEnv;
  readonly folder: string;
  /** Dies on the spot, as in a crash. */
  kill(): Promise<void>;
  stop(): Promise<void>;
}

export async function startSoundServer(): Promise<SoundServer> {
  const folder = mkdtempSync(join(process.env.FETTLE_SOUND_FOLDER ?? tmpdir(), 'sound-'));
  const [home, runtime] = [join(folder, 'home'), join(folder, 'run')];
  mkdirSync(home, { mode: 0o700 });
  mkdirSync(runtime, { mode: 0o700 });
  const socket = join(runtime, 'pulse', 'native');
  const env: NodeJS.ProcessEnv = {
    ...process.env,
    HOME: home,
    XDG_RUNTIME_DIR: runtime,
    XDG_CONFIG_HOME: join(home, '.config'),
    XDG_DATA_HOME: join(home, '.local', 'share'),
    PULSE_SERVER: `unix:${socket}`,
    // Nobody starts another server when this one is killed.
    PULSE_CLIENTCONFIG: join(folder, 'client.conf'),
    JACK_NO_START_SERVER: '1',
  };
  writeFileSync(join(folder, 'client.conf'), 'autospawn = no\n');
  writeFileSync(join(home, '.asoundrc'), 'pcm.!default { type pulse }\nctl.!default { type pulse }\n');
  writeFileSync(
    join(folder, 'server.pa'),
    [
      // Without rewinds it plays in small pieces; with them it would run two seconds ahead of an idle client.
      `load-module module-null-sink sink_name=fettle rate=${SERVER_RATE} channels=2 format=s16le norewinds=1`,
      `load-module module-native-protocol-unix socket=${socket} auth-anonymous=1`,
      'set-default-sink fettle',
      '',
    ].join('\n'),
  );
  const words = `-n -F ${join(folder, 'server.pa')} --daemonize=no --use-pid-file=no --disable-shm=yes --exit-idle-time=${LONELY_SECONDS} --log-target=stderr`;
  // A desktop's sound server runs before everything else; as root it is granted here too.
  const child = spawn(...before('pulseaudio', words.split(' ')), {
    stdio: ['ignore', 'ignore', 'pipe'],
    env,
  });
  // For run.sh, should this process be ended before the server.
  writeFileSync(join(folder, 'server.pid'), `${child.pid}\n`);
  let said = '';
  child.stderr?.on('data', (data) => {
    said += data;
  });
  const ended = new Promise<void>((resolve) => child.on('close', () => resolve()));
  child.on('error', (error) => {
    said += error.message;
  });
  for (let waited = 0; !existsSync(socket); waited += 20) {
    if (waited > 60_000 || child.exitCode !== null) throw new Error(`No sound server: ${said}`);
    await sleep(20);
  }
  const end = async (signal: NodeJS.Signals) => {
    child.kill(signal);
    await ended;
  };
  return {
    env,
    folder,
    kill: () => end('SIGKILL'),
    async stop() {
      if (child.exitCode === null && child.signalCode === null) await end('SIGTERM');
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** A command that runs before others where the system grants it, and as it is elsewhere. */
export function before(command: string, words: readonly string[]): [string, string[]] {
  return mayRunFirst ? ['chrt', ['-f', '20', command, ...words]] : [command, [...words]];
}

const mayRunFirst = (() => {
  try {
    execFileSync('chrt', ['-f', '20', 'true'], { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
})();
