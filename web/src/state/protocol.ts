import type { Protocol } from '@unhindered/shared-types';
import { api } from '../sync/api.ts';
import { localStore } from '../sync/local-store.ts';

/** A published protocol version; it never changes, so what this device has is good. */
export const loadProtocol = async (id: string, version: string): Promise<Protocol | undefined> => {
  const key = `protocol:${id}:${version}`;
  const kept = await localStore.get<Protocol>(key);
  if (kept) return kept;
  const answer = await api.protocol(id, version);
  if (!answer.ok) return undefined;
  await localStore.set(key, answer.value);
  return answer.value;
};
