import { parseCanonical } from '../audit/canonical-json.ts';
import { sha256Hex } from '../audit/sha256.ts';
import type { Store } from '../ports/store.ts';
import { checkProtocol } from '../protocol/check-protocol.ts';
import { protocolKey, type Published } from './app.ts';

/** Where published versions are kept, and those known in this process. */
export interface ProtocolSources {
  store: Pick<Store, 'protocols'>;
  protocols: Map<string, Published>;
}

/**
 * ST-11: a published protocol whose text does not fit its hash is not worked with: one turned bit in it could be another
 * weight. Reads those that are not known yet; throws with words.
 */
export const learnProtocols = async ({ store, protocols }: ProtocolSources): Promise<void> => {
  for (const row of await store.protocols()) {
    if (protocols.has(protocolKey(row))) continue;
    const { id, version, text, hash } = row;
    const read = checkProtocol(text);
    if (!read.ok || sha256Hex(text) !== hash) {
      const words = `Protocol ${id} ${version} in the store is not what was published.`;
      throw new Error(`${words} Put a backup in its place.`);
    }
    protocols.set(protocolKey(read.protocol), { protocol: read.protocol, text, hash });
  }
};

/** PR-10: an evaluation that another process made under a version published there is read after that version is known. */
export const learnProtocolOf = async (
  sources: ProtocolSources,
  firstEvent: string,
): Promise<void> => {
  const { data } = parseCanonical(firstEvent) as {
    data?: { protocol?: { id: string; version: string } };
  };
  const used = data?.protocol;
  if (used && !sources.protocols.has(protocolKey(used))) await learnProtocols(sources);
};
