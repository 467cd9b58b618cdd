import type { Outcome, Protocol } from '@unhindered/shared-types';
import { api } from '../sync/api.ts';
import { localStore } from '../sync/local-store.ts';

/** A published protocol version; it never changes, so what this device has is good, or what is `coming` anyhow. */
export const loadProtocol = async (
  id: string,
  version: string,
  coming?: Promise<Outcome<Protocol>>,
): Promise<Protocol | undefined> => {
  const key = `protocol:${id}:${version}`;
  const early = await coming;
  const kept = early?.ok === true ? undefined : await localStore.get<Protocol>(key);
  if (kept) return kept;
  const answer = early?.ok === true ? early : await api.protocol(id, version);
  if (!answer.ok) return undefined;
  void localStore.set(key, answer.value);
  return answer.value;
};
