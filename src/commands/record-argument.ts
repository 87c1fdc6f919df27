// --record: where the practice record is kept. A simulated player's takes go there only when it is asked for.

import type { Store } from '../ports/store.ts';
import { MemoryStore } from '../simulation/memory-store.ts';
import { need } from './passage-argument.ts';

export async function openRecord(path: string | undefined, simulated: boolean): Promise<Store> {
  if (path === undefined && simulated) return new MemoryStore();
  const { openStore } = await import('../devices/database-store.ts');
  return need(await openStore(path));
}
