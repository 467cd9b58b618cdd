import * as Y from 'yjs';

/** Where an item sits: in which root, and under which key of it (null in a text). */
export interface Place {
  root: string;
  key: string | null;
}

/** What an inspection asks of a document's store, without touching it. */
export const storeFacts = (doc: Y.Doc) => {
  const rootName = (type: unknown): string | undefined => {
    for (const [name, shared] of doc.share) if (shared === type) return name;
    return undefined;
  };
  const structs = (client: number): (Y.Item | Y.GC)[] => doc.store.clients.get(client) ?? [];
  const state = (client: number): number => Y.getState(doc.store, client);
  const placeOfStruct = (struct: Y.Item | Y.GC | undefined): Place | undefined => {
    if (!(struct instanceof Y.Item)) return undefined;
    const root = rootName(struct.parent);
    return root === undefined ? undefined : { root, key: struct.parentSub };
  };
  return {
    /** Next clock of a client. */
    state,
    place: (id: Y.ID): Place | undefined => {
      const own = structs(id.client);
      if (id.clock >= state(id.client)) return undefined;
      return placeOfStruct(own[Y.findIndexSS(own, id.clock)]);
    },
    /** Whether a root map ever had this key. */
    hasKey: (root: string, key: string): boolean => doc.share.get(root)?._map.has(key) ?? false,
    /** Length of a root text, UTF-16 units. */
    textLength: (root: string): number => doc.share.get(root)?._length ?? 0,
    /** Places of the items in a range of clocks that are not deleted. */
    alive: (client: number, from: number, to: number): Place[] => {
      const own = structs(client);
      const places: Place[] = [];
      if (from >= state(client)) return places;
      for (let i = Y.findIndexSS(own, from); i < own.length; i++) {
        const struct = own[i];
        if (!struct || struct.id.clock >= to) break;
        if (struct.deleted) continue;
        const place = placeOfStruct(struct);
        if (place) places.push(place);
      }
      return places;
    },
  };
};
