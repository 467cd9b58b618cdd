import {
  done,
  refused,
  textChange,
  type DraftSource,
  type Envelope,
  type Outcome,
  type Protocol,
  type WorkshopCommand,
  type WorkshopEvent,
} from '@unhindered/shared-types';
import { checkProtocol } from './check-protocol.ts';
import { protocolText } from './protocol-text.ts';
import { compareVersions, greatestVersion, nextVersion } from './versions.ts';

/** A draft that is neither published nor discarded. */
export interface DraftState {
  draft: string;
  text: string;
  revision: number;
  from: DraftSource;
  savedAt: string;
  /** Who kept the last change: a seat, or `lead`. */
  savedBy: string;
}

/** What stands on record of a published version. */
export interface PublishedNote {
  id: string;
  version: string;
  note: string;
  at: string;
  by: string;
  former: string | null;
}

/** The workspace's own protocols: a fold over their log. */
export interface WorkshopState {
  drafts: ReadonlyMap<string, DraftState>;
  /** In the order they were published. */
  published: readonly PublishedNote[];
}

export const emptyWorkshop: WorkshopState = { drafts: new Map(), published: [] };

type Stamped = WorkshopEvent & Pick<Envelope, 'at' | 'actor'>;

const saved = (draft: DraftState, event: Stamped & { type: 'draft-saved' }): DraftState => {
  const { at, removed, inserted, revision } = event.data;
  const text = draft.text.slice(0, at) + inserted + draft.text.slice(at + removed);
  return { ...draft, text, revision, savedAt: event.at, savedBy: event.actor };
};

/** PR-7: the state after one more event; the text of a draft follows from its changes. */
export const applyWorkshop = (state: WorkshopState, event: Stamped): WorkshopState => {
  const drafts = new Map(state.drafts);
  const { draft: id } = event.data;
  if (event.type === 'draft-begun') {
    const { from, text } = event.data;
    const by = { savedAt: event.at, savedBy: event.actor };
    drafts.set(id, { draft: id, text, revision: 1, from, ...by });
    return { ...state, drafts };
  }
  const draft = drafts.get(id);
  if (!draft) throw new Error(`there is no draft ${id}`);
  if (event.type === 'draft-saved') {
    drafts.set(id, saved(draft, event));
    return { ...state, drafts };
  }
  drafts.delete(id);
  if (event.type === 'draft-discarded') return { ...state, drafts };
  const { id: protocol, version, note, former } = event.data;
  const published = { id: protocol, version, note, at: event.at, by: event.actor, former };
  return { drafts, published: [...state.published, published] };
};

/** Drafts that may be open at once. */
const DRAFTS = 50;

type Command<T> = Extract<WorkshopCommand, { type: T }>;

/** What a decision needs beside the state. */
export interface WorkshopContext {
  /** The id of a new draft. */
  draft: string;
  /** Published versions of this workspace. */
  published: readonly Protocol[];
  /** The name of who kept something. */
  nameOf: (actor: string) => string;
}

/** What a command appends, the draft and revision after it, and the version it publishes. */
export interface WorkshopDecision {
  events: WorkshopEvent[];
  draft: string;
  revision: number;
  published?: { protocol: Protocol; text: string; hash: string };
}

const versionsOf = (id: string, published: readonly Protocol[]): string[] =>
  published.filter((p) => p.id === id).map((p) => p.version);

/** The text a draft begins with: that of the file, or the version's with the next free number. */
const firstText = (
  { from, text }: Command<'begin-draft'>,
  published: readonly Protocol[],
): Outcome<string> => {
  if (from.of === 'file') {
    return text === undefined
      ? refused('bad-input', 'Send the text of the file.', { place: 'text' })
      : done(text);
  }
  const copied = published.find((p) => p.id === from.id && p.version === from.version);
  if (!copied) return refused('unknown-thing', 'There is no such published protocol version.');
  const greatest = greatestVersion(versionsOf(from.id, published)) ?? from.version;
  return done(`${JSON.stringify({ ...copied, version: nextVersion(greatest) }, null, 2)}\n`);
};

const begin = (
  state: WorkshopState,
  command: Command<'begin-draft'>,
  { draft, published }: WorkshopContext,
): Outcome<WorkshopDecision> => {
  if (state.drafts.size >= DRAFTS) {
    const words = `There are ${String(DRAFTS)} drafts. Publish or discard one first.`;
    return refused('bad-input', words);
  }
  const text = firstText(command, published);
  if (!text.ok) return text;
  const data = { draft, from: command.from, text: text.value };
  return done({ events: [{ type: 'draft-begun', data }], draft, revision: 1 });
};

/** PR-8: nobody writes over what they have not seen: who saved, when, and what stands there now is said. */
const current = (
  state: WorkshopState,
  { draft: id, revision }: { draft: string; revision: number },
  nameOf: WorkshopContext['nameOf'],
): Outcome<DraftState> => {
  const draft = state.drafts.get(id);
  if (!draft) {
    return refused('unknown-thing', 'There is no such draft. It was published or discarded.');
  }
  if (draft.revision === revision) return done(draft);
  const by = nameOf(draft.savedBy);
  const at = `${draft.savedAt.slice(0, 16).replace('T', ' ')} UTC`;
  const words = `${by} saved this draft on ${at}, after you opened it. Nothing was written over it.`;
  return refused('draft-changed', words, { by, at: draft.savedAt, revision: draft.revision });
};

const save = (draft: DraftState, { text }: Command<'save-draft'>): Outcome<WorkshopDecision> => {
  const change = textChange(draft.text, text);
  const { draft: id } = draft;
  if (!change) return done({ events: [], draft: id, revision: draft.revision });
  const revision = draft.revision + 1;
  const { at, remove: removed, insert: inserted } = change;
  const data = { draft: id, revision, at, removed, inserted };
  return done({ events: [{ type: 'draft-saved', data }], draft: id, revision });
};

/**
 * PR-9: what is published has no fault, a version after every published one of its id, and a note of what is new; from
 * then on it never changes.
 */
const publish = (
  draft: DraftState,
  { note }: Command<'publish-draft'>,
  published: readonly Protocol[],
): Outcome<WorkshopDecision> => {
  const checked = checkProtocol(draft.text);
  if (!checked.ok) {
    const [first] = checked.faults;
    const n = checked.faults.length;
    const words = `${n === 1 ? 'There is 1 fault' : `There are ${String(n)} faults`}. Mend it first: ${first?.place ?? ''}: ${first?.fault ?? ''}.`;
    return refused('protocol-faulty', words, { faults: n });
  }
  const { protocol } = checked;
  const { id, version } = protocol;
  const former = greatestVersion(versionsOf(id, published)) ?? null;
  if (former !== null && compareVersions(version, former) <= 0) {
    const words = `Version ${version} does not come after ${former}, which is published. Write ${nextVersion(former)} or higher.`;
    return refused('version-order', words, { former });
  }
  const { text, hash } = protocolText(protocol);
  const data = { draft: draft.draft, id, version, hash, note, former };
  return done({
    events: [{ type: 'protocol-published', data }],
    draft: draft.draft,
    revision: draft.revision,
    published: { protocol, text, hash },
  });
};

/** What a command on the workspace's protocols does, or why not. */
export const decideWorkshop = (
  state: WorkshopState,
  command: WorkshopCommand,
  context: WorkshopContext,
): Outcome<WorkshopDecision> => {
  if (command.type === 'begin-draft') return begin(state, command, context);
  const found = current(state, command, context.nameOf);
  if (!found.ok) return found;
  const { draft: id, revision } = found.value;
  switch (command.type) {
    case 'save-draft':
      return save(found.value, command);
    case 'discard-draft':
      return done({
        events: [{ type: 'draft-discarded', data: { draft: id } }],
        draft: id,
        revision,
      });
    case 'publish-draft':
      return publish(found.value, command, context.published);
  }
};
