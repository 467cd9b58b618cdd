import * as Y from 'yjs';
import type { ContentRule, MapRule, TextRule } from './content-rule.ts';
import { storeFacts, type Place } from './store-facts.ts';

/** Why an update was refused; the client is told, the reviewer is shown words for it. */
export type RefusalReason =
  | 'malformed'
  | 'too-large'
  | 'gap'
  | 'foreign-client'
  | 'unknown-root'
  | 'nested'
  | 'content'
  | 'value'
  | 'immutable'
  | 'closed'
  | 'foreign-delete';

export type Inspection =
  | {
      kind: 'ok';
      /** Client ids this author uses for the first time. */
      newClients: number[];
      /** Keys newly set in an immutable map, for the log. */
      entries: { key: string; value: string }[];
    }
  /** Nothing in it that the document does not have. */
  | { kind: 'noop' }
  /** It builds on edits that are not here yet. */
  | { kind: 'ahead' }
  | { kind: 'refuse'; reason: RefusalReason; detail: string };

export interface Replica {
  doc: Y.Doc;
  /** Which seat each Yjs client id belongs to; bound at first use. */
  owners: ReadonlyMap<number, string>;
}

/** Most structs in one update; a long offline evening stays far below. */
const MAX_STRUCTS = 4000;

class Refusal extends Error {
  readonly reason: RefusalReason;
  constructor(reason: RefusalReason, detail: string) {
    super(detail);
    this.reason = reason;
  }
}

class Ahead extends Error {}

type Struct = Y.Item | Y.GC | Y.Skip;
type Decoded = ReturnType<typeof Y.decodeUpdate>;

const decode = (update: Uint8Array): Decoded => {
  try {
    // Lazy: a struct count without a body throws at once instead of allocating an array of that size.
    const decoded = Y.decodeUpdate(update);
    if (decoded.structs.length > MAX_STRUCTS) throw new Refusal('too-large', 'too many structs');
    return decoded;
  } catch (error) {
    if (error instanceof Refusal) throw error;
    throw new Refusal('malformed', 'not a Yjs update');
  }
};

/** State of one inspection: what the update would add, by client. */
interface Walk {
  replica: Replica;
  rule: ContentRule;
  author: string;
  facts: ReturnType<typeof storeFacts>;
  /** Next clock of each client, counting what the update adds. */
  next: Map<number, number>;
  /** Where the update's own new items sit, to resolve the parents of later ones. */
  placed: { client: number; from: number; to: number; place: Place }[];
  entries: { key: string; value: string }[];
  grown: Map<string, number>;
  fresh: number;
}

const rootOf = (walk: Walk, name: string): MapRule | TextRule => {
  const root = walk.rule.roots.get(name);
  if (!root) throw new Refusal('unknown-root', `no root "${name.slice(0, 40)}"`);
  return root;
};

const placeOfOrigin = (walk: Walk, id: Y.ID): Place => {
  const own = walk.placed.find(
    (p) => p.client === id.client && id.clock >= p.from && id.clock < p.to,
  );
  const place = own?.place ?? walk.facts.place(id);
  if (!place) throw new Ahead();
  return place;
};

const placeOf = (walk: Walk, item: Y.Item): Place => {
  const parent: unknown = item.parent;
  if (typeof parent === 'string') return { root: parent, key: item.parentSub };
  if (parent !== null && parent !== undefined) throw new Refusal('nested', 'nested type');
  const places = [item.origin, item.rightOrigin].flatMap((id) =>
    id ? [placeOfOrigin(walk, id)] : [],
  );
  const [place, other] = places;
  if (!place) throw new Refusal('malformed', 'an item without a parent');
  if (other && (other.root !== place.root || other.key !== place.key)) {
    throw new Refusal('malformed', 'an item between two places');
  }
  return place;
};

const checkMapItem = (walk: Walk, root: MapRule, key: string | null, item: Y.Item): void => {
  if (key === null) throw new Refusal('content', 'a map has no list');
  const { content } = item;
  if (content instanceof Y.ContentDeleted && !root.immutable) return;
  if (!(content instanceof Y.ContentAny) || content.arr.length !== 1) {
    throw new Refusal('content', 'a map holds single primitives');
  }
  const value: unknown = content.arr[0];
  if (value !== null && !['string', 'number', 'boolean'].includes(typeof value)) {
    throw new Refusal('content', 'a map holds single primitives');
  }
  if (root.immutable) {
    const twice = walk.entries.some((e) => e.key === key);
    if (twice || walk.facts.hasKey(root.name, key)) {
      throw new Refusal('immutable', 'an entry is set once');
    }
  }
  const fault = root.fault(key, value, walk.author);
  if (fault !== undefined) throw new Refusal('value', fault);
  if (root.immutable) walk.entries.push({ key, value: String(value) });
};

const checkTextItem = (walk: Walk, root: TextRule, key: string | null, item: Y.Item): void => {
  if (key !== null) throw new Refusal('content', 'a text has no keys');
  if (!root.writable())
    throw new Refusal('closed', 'this note is closed while the round is sealed');
  if (item.content instanceof Y.ContentDeleted) return;
  if (!(item.content instanceof Y.ContentString)) {
    throw new Refusal('content', 'a note holds plain text');
  }
  const grown = (walk.grown.get(root.name) ?? 0) + item.length;
  walk.grown.set(root.name, grown);
  if (walk.facts.textLength(root.name) + grown > root.limit) {
    throw new Refusal('too-large', 'the note is full');
  }
};

/**
 * What the document has already is passed over, whoever wrote it: it may have reached a device after it was asked.
 * But what it builds on must be there: Yjs looks at that first, and would keep the update waiting for ever.
 */
const checkRepeated = (walk: Walk, struct: Struct): void => {
  if (!(struct instanceof Y.Item)) return;
  for (const id of [struct.origin, struct.rightOrigin, struct.parent as unknown]) {
    if (id instanceof Y.ID && id.clock >= walk.facts.state(id.client)) {
      throw new Refusal('malformed', 'repeats an edit, but not as it was made');
    }
  }
};

const checkStruct = (walk: Walk, struct: Struct): void => {
  const { client, clock } = struct.id;
  const known = walk.next.get(client) ?? walk.facts.state(client);
  const end = clock + struct.length;
  if (end <= walk.facts.state(client)) return checkRepeated(walk, struct);
  const owner = walk.replica.owners.get(client);
  if (owner !== undefined && owner !== walk.author) {
    throw new Refusal('foreign-client', 'edits under the client id of somebody else');
  }
  if (clock > known) throw new Ahead();
  if (end <= known) return;
  if (!(struct instanceof Y.Item)) throw new Refusal('content', 'only items may be added');
  const place = placeOf(walk, struct);
  const root = rootOf(walk, place.root);
  if (root.kind === 'map') checkMapItem(walk, root, place.key, struct);
  else checkTextItem(walk, root, place.key, struct);
  walk.next.set(client, end);
  walk.placed.push({ client, from: clock, to: end, place });
  walk.fresh++;
};

/** Only what is not deleted yet counts as a deletion by this author: step 2 repeats everybody's. */
const checkDeletes = (walk: Walk, decoded: Decoded): void => {
  for (const [client, ranges] of decoded.ds.clients) {
    for (const { clock, len } of ranges) {
      const end = clock + len;
      const known = Math.max(walk.facts.state(client), walk.next.get(client) ?? 0);
      if (end > known) throw new Ahead();
      for (const place of walk.facts.alive(client, clock, end)) {
        walk.fresh++;
        const root = rootOf(walk, place.root);
        if (root.kind === 'map' && root.immutable) {
          throw new Refusal('immutable', 'an entry is never deleted');
        }
        if (root.kind === 'text' && !root.writable()) {
          throw new Refusal('closed', 'this note is closed while the round is sealed');
        }
        const foreign = walk.replica.owners.get(client) !== walk.author;
        if (foreign && (walk.rule.deletes === 'own' || root.kind === 'map')) {
          throw new Refusal('foreign-delete', 'deletes what somebody else wrote');
        }
      }
      // Items this very update adds and deletes: only an immutable root forbids it.
      for (const p of walk.placed) {
        if (p.client !== client || p.to <= clock || p.from >= end) continue;
        const root = rootOf(walk, p.place.root);
        if (root.kind === 'map' && root.immutable) {
          throw new Refusal('immutable', 'an entry is never deleted');
        }
      }
    }
  }
};

/**
 * SY-1: decides from the bytes alone, before anything is applied, whether an author's update may enter a
 * document: own client ids, no gap, named roots, flat primitives, allowed keys and values, deletions within
 * bounds. Costs about a third of applying it.
 */
export const inspectUpdate = (
  update: Uint8Array,
  replica: Replica,
  rule: ContentRule,
  author: string,
): Inspection => {
  const facts = storeFacts(replica.doc);
  const walk: Walk = {
    replica,
    rule,
    author,
    facts,
    next: new Map(),
    placed: [],
    entries: [],
    grown: new Map(),
    fresh: 0,
  };
  try {
    const decoded = decode(update);
    for (const struct of decoded.structs) checkStruct(walk, struct);
    checkDeletes(walk, decoded);
  } catch (error) {
    if (error instanceof Ahead) return { kind: 'ahead' };
    if (error instanceof Refusal) {
      return { kind: 'refuse', reason: error.reason, detail: error.message };
    }
    throw error;
  }
  if (walk.fresh === 0) return { kind: 'noop' };
  const newClients = [...walk.next.keys()].filter((c) => !replica.owners.has(c));
  return { kind: 'ok', newClients, entries: walk.entries };
};
