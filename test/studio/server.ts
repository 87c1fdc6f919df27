// A PostgreSQL server of the tests' own, where it is installed: in a temporary folder, on a free port, with passwords
// checked as a real one checks them. It refuses to run as root, so as root it is started as another user.

import { execFileSync } from 'node:child_process';
import { chownSync, existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';

/** The folder of `initdb`, `postgres` and `pg_ctl`; undefined where they are not installed. */
export function postgresFolder(): string | undefined {
  const debian = '/usr/lib/postgresql';
  const folders = [
    ...(process.env.PATH ?? '').split(delimiter),
    ...(existsSync(debian) ? readdirSync(debian).map((version) => join(debian, version, 'bin')) : []),
  ];
  return folders.find((folder) =>
    ['initdb', 'postgres', 'pg_ctl'].every((name) => existsSync(join(folder, name))),
  );
}

/** What a test's title says where there is none. */
export const WITHOUT_POSTGRES = 'skipped where PostgreSQL is not installed';

export interface StudioServer {
  /** The owner's address, with the password. */
  readonly owner: string;
  /** The address of a login; without a password where none is given. */
  address(login: string, password?: string): string;
  stop(): void;
  start(): void;
  /** For good. */
  remove(): void;
}

const OWNER_PASSWORD = 'tide & time';

export async function startServer(): Promise<StudioServer> {
  const bin = postgresFolder();
  if (bin === undefined) throw new Error('PostgreSQL is not installed');
  const folder = mkdtempSync(join(tmpdir(), 'fettle-postgres-'));
  const user = process.getuid?.() === 0 ? unprivileged() : undefined;
  writeFileSync(join(folder, 'password'), OWNER_PASSWORD);
  if (user) for (const path of [folder, join(folder, 'password')]) chownSync(path, user.uid, user.gid);
  const run = (program: string, words: readonly string[]) =>
    execFileSync(join(bin, program), words, { ...user, cwd: folder, stdio: 'pipe' });
  const data = join(folder, 'data');
  run('initdb', [
    '-N',
    '-D',
    data,
    '-U',
    'owner',
    '-A',
    'scram-sha-256',
    '--pwfile',
    join(folder, 'password'),
  ]);
  let port = await freePort();
  const start = () => {
    // What is lost with the machine's power is no concern of a test.
    const options = `-k ${folder} -p ${port} -c listen_addresses=127.0.0.1 -c fsync=off -c max_connections=60`;
    run('pg_ctl', ['-D', data, '-o', options, '-l', join(folder, 'log'), '-w', '-t', '120', 'start']);
  };
  const stop = () => {
    run('pg_ctl', ['-D', data, '-m', 'immediate', '-w', '-t', '120', 'stop']);
  };
  for (let tries = 1; ; tries += 1) {
    try {
      start();
      break;
    } catch (error) {
      if (tries === 3) throw error;
      // Somebody else has taken the port since it was free.
      port = await freePort();
    }
  }
  const address = (login: string, password?: string) =>
    `postgres://${login}${password === undefined ? '' : `:${encodeURIComponent(password)}`}@127.0.0.1:${port}/postgres`;
  return {
    owner: address('owner', OWNER_PASSWORD),
    address,
    stop,
    start,
    remove: () => {
      try {
        stop();
      } catch {
        // It was stopped already.
      }
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Somebody who is not root; the package of Debian brings one. */
function unprivileged(): { uid: number; gid: number } {
  for (const name of ['postgres', 'nobody']) {
    try {
      const id = (what: string) =>
        Number(execFileSync('id', [what, name], { encoding: 'utf8', stdio: 'pipe' }));
      return { uid: id('-u'), gid: id('-g') };
    } catch {
      // The next one.
    }
  }
  throw new Error('there is no user but root');
}

async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as { port: number };
  await new Promise((resolve) => server.close(resolve));
  return port;
}
