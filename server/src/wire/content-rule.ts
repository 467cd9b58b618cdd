/** A root map of primitives: which keys and values an author may set, and whether a key may change later. */
export interface MapRule {
  kind: 'map';
  name: string;
  /** The reason why this author may not set this key to this value; undefined when they may. */
  fault: (key: string, value: unknown, author: string) => string | undefined;
  /** Keys are set once and never overwritten or deleted. */
  immutable: boolean;
}

/** A root text that everybody who may write the document shares. */
export interface TextRule {
  kind: 'text';
  name: string;
  /** Asked at each update: a text may be closed for a while. */
  writable: () => boolean;
  /** Longest text, UTF-16 units. */
  limit: number;
}

/** Everything that may stand in a document. A root that is not named here does not exist. */
export interface ContentRule {
  roots: ReadonlyMap<string, MapRule | TextRule>;
  /** `own`: only the author's own items may be deleted (a sheet); `any`: text of others too (a board). */
  deletes: 'own' | 'any';
}

export const contentRule = (
  roots: readonly (MapRule | TextRule)[],
  deletes: ContentRule['deletes'],
): ContentRule => ({ roots: new Map(roots.map((r) => [r.name, r])), deletes });
