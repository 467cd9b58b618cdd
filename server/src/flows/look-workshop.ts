import {
  done,
  protocolTasks,
  refused,
  type DraftAnswer,
  type DraftCheck,
  type DraftRow,
  type Outcome,
  type Protocol,
  type ProtocolDiffAnswer,
  type ProtocolsAnswer,
  type PublishedRow,
} from '@unhindered/shared-types';
import { checkProtocol } from '../protocol/check-protocol.ts';
import { diffProtocols } from '../protocol/diff-protocols.ts';
import { compareVersions } from '../protocol/versions.ts';
import type { DraftState, PublishedNote } from '../protocol/workshop.ts';
import { protocolKey, type App, type Published } from './app.ts';
import { learnProtocols } from './published-protocols.ts';
import { namesFor, workshopOf } from './workshop.ts';

/** Faults of one answer; a file with more is no protocol yet. */
const FAULTS = 200;

type Names = (actor: string) => string;

const text = (value: unknown): string | null => (typeof value === 'string' ? value : null);

/** What a draft says of itself, as far as it can be read. */
const named = (source: string): Pick<DraftRow, 'id' | 'version' | 'title'> => {
  try {
    const read = JSON.parse(source) as Record<string, unknown> | null;
    return {
      id: text(read?.['id']),
      version: text(read?.['version']),
      title: text(read?.['title']),
    };
  } catch {
    return { id: null, version: null, title: null };
  }
};

const rowOf = (draft: DraftState, names: Names): DraftRow => ({
  draft: draft.draft,
  ...named(draft.text),
  revision: draft.revision,
  savedAt: draft.savedAt,
  savedBy: names(draft.savedBy),
  from: draft.from,
});

const publishedRow = (
  { protocol: p, hash }: Published,
  note: PublishedNote | undefined,
  names: Names,
): PublishedRow => ({
  id: p.id,
  version: p.version,
  title: p.title,
  invented: p.invented,
  hash,
  sections: p.sections.length,
  tasks: protocolTasks(p).length,
  note: note?.note ?? null,
  at: note?.at ?? null,
  by: note ? names(note.by) : null,
  former: note?.former ?? null,
});

/** Published versions of a workspace, by id, the newest of each first. */
export const inOrder = (protocols: Iterable<Published>): Published[] =>
  [...protocols].toSorted(
    (a, b) =>
      a.protocol.id.localeCompare(b.protocol.id) ||
      compareVersions(b.protocol.version, a.protocol.version),
  );

/** Every published version, and the drafts for who may write them. */
export const listProtocols = async (app: App, mayWrite: boolean): Promise<ProtocolsAnswer> => {
  if (app.shared) await learnProtocols(app);
  const { state } = await workshopOf(app);
  const notes = new Map(state.published.map((n) => [protocolKey(n), n]));
  const drafts = [...state.drafts.values()];
  const actors = [...state.published.map((n) => n.by), ...drafts.map((d) => d.savedBy)];
  const names = await namesFor(app, actors);
  return {
    published: inOrder(app.protocols.values()).map((p) =>
      publishedRow(p, notes.get(protocolKey(p.protocol)), names),
    ),
    drafts: mayWrite
      ? drafts.map((d) => rowOf(d, names)).toSorted((a, b) => b.savedAt.localeCompare(a.savedAt))
      : null,
  };
};

const noDraft = 'There is no such draft. It was published or discarded.';

const draftOf = async (app: App, id: string): Promise<DraftState | undefined> =>
  (await workshopOf(app)).state.drafts.get(id);

const checked = async (app: App, draft: DraftState): Promise<DraftCheck> => {
  const read = checkProtocol(draft.text);
  const faults = read.ok ? [] : read.faults;
  const row = rowOf(draft, await namesFor(app, [draft.savedBy]));
  return { ...row, faults: faults.slice(0, FAULTS), more: Math.max(0, faults.length - FAULTS) };
};

/** All faults of a draft as it is kept, each with its place. */
export const checkDraft = async (app: App, id: string): Promise<Outcome<DraftCheck>> => {
  const draft = await draftOf(app, id);
  return draft ? done(await checked(app, draft)) : refused('unknown-thing', noDraft);
};

/** A draft with its text and its faults. */
export const lookAtDraft = async (app: App, id: string): Promise<Outcome<DraftAnswer>> => {
  const draft = await draftOf(app, id);
  if (!draft) return refused('unknown-thing', noDraft);
  return done({ ...(await checked(app, draft)), text: draft.text });
};

/** One side of a difference: a version `<id>@<version>`, or a draft without a fault for who may see drafts. */
const sideOf = async (app: App, side: string, mayWrite: boolean): Promise<Outcome<Protocol>> => {
  if (!side.startsWith('pd_')) {
    const [id = '', version = ''] = side.split('@');
    if (app.shared && !app.protocols.has(protocolKey({ id, version }))) await learnProtocols(app);
    const found = app.protocols.get(protocolKey({ id, version }));
    return found
      ? done(found.protocol)
      : refused('unknown-thing', 'There is no such protocol version.');
  }
  const draft = mayWrite ? await draftOf(app, side) : undefined;
  if (!draft) return refused('unknown-thing', noDraft);
  const read = checkProtocol(draft.text);
  if (read.ok) return done(read.protocol);
  const n = read.faults.length;
  const words = `The draft has ${n === 1 ? '1 fault' : `${String(n)} faults`}. Mend it first, then compare.`;
  return refused('protocol-faulty', words, { faults: n });
};

/** What differs between two versions, in words. */
export const protocolDiff = async (
  app: App,
  { older, newer }: { older: string; newer: string },
  mayWrite: boolean,
): Promise<Outcome<ProtocolDiffAnswer>> => {
  const [from, to] = [await sideOf(app, older, mayWrite), await sideOf(app, newer, mayWrite)];
  if (!from.ok) return from;
  if (!to.ok) return to;
  return done({ older, newer, changes: diffProtocols(from.value, to.value) });
};
