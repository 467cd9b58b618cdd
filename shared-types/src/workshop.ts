import * as v from 'valibot';
import { draftId, sha256Hex, slug } from './ids.ts';
import type { ProtocolChange, ProtocolFault } from './protocol-fault.ts';
import { line, text } from './text.ts';

/** Longest text of a draft, UTF-16 units; a protocol file may have that many bytes. */
export const DRAFT_TEXT_MAX = 1_000_000;

const LONE_SURROGATE = /\p{Surrogate}/u;

/** The text of a draft as it is typed: it need not be a good protocol, nor JSON at all. */
const draftText = v.pipe(
  v.string(),
  v.maxLength(DRAFT_TEXT_MAX, 'A protocol file has 1 MB at most. Shorten its texts.'),
  v.check((s) => !LONE_SURROGATE.test(s), 'It holds half a character. Save the file as UTF-8.'),
);
/** Counts the kept changes of a draft; its beginning is 1. */
const revision = v.pipe(v.number(), v.safeInteger(), v.minValue(1));
const version = v.pipe(v.string(), v.maxLength(16));
const units = v.pipe(v.number(), v.safeInteger(), v.minValue(0));

/** Where a draft comes from: a published version, or a file by its name. */
const draftSource = v.variant('of', [
  v.strictObject({ of: v.literal('version'), id: slug, version }),
  v.strictObject({ of: v.literal('file'), name: line(0, 120) }),
]);
export type DraftSource = v.InferOutput<typeof draftSource>;

/** Commands of the lead and of moderators on the workspace's protocols. */
export const workshopCommands = [
  /** With a file its text; a published version is copied, with the next free version number. */
  v.strictObject({
    type: v.literal('begin-draft'),
    from: draftSource,
    text: v.optional(draftText),
  }),
  /** `revision` is the one that was changed: when another has been kept since, nothing is. */
  v.strictObject({ type: v.literal('save-draft'), draft: draftId, revision, text: draftText }),
  v.strictObject({ type: v.literal('discard-draft'), draft: draftId, revision }),
  v.strictObject({
    type: v.literal('publish-draft'),
    draft: draftId,
    revision,
    /** What is new, for those who choose a version. */
    note: text(3, 1000),
  }),
] as const;
export type WorkshopCommand = v.InferOutput<(typeof workshopCommands)[number]>;

/** Events of the log of a workspace's protocols. Drafts stand in it change by change, so that nothing typed is lost. */
export const workshopEvent = v.variant('type', [
  v.strictObject({
    type: v.literal('draft-begun'),
    data: v.strictObject({ draft: draftId, from: draftSource, text: v.string() }),
  }),
  /** One change: `removed` UTF-16 units at `at` gave way to `inserted`. */
  v.strictObject({
    type: v.literal('draft-saved'),
    data: v.strictObject({
      draft: draftId,
      revision,
      at: units,
      removed: units,
      inserted: v.string(),
    }),
  }),
  v.strictObject({ type: v.literal('draft-discarded'), data: v.strictObject({ draft: draftId }) }),
  v.strictObject({
    type: v.literal('protocol-published'),
    data: v.strictObject({
      draft: draftId,
      id: slug,
      version,
      /** SHA-256 of the canonical text. */
      hash: sha256Hex,
      note: v.string(),
      /** The greatest version of the same id before it; null for the first. */
      former: v.nullable(version),
    }),
  }),
]);
export type WorkshopEvent = v.InferOutput<typeof workshopEvent>;

/** A published version as it is listed. What the program came with has no note, day or name. */
export interface PublishedRow {
  id: string;
  version: string;
  title: string;
  invented: boolean;
  /** SHA-256 of the canonical text. */
  hash: string;
  sections: number;
  tasks: number;
  note: string | null;
  at: string | null;
  by: string | null;
  former: string | null;
}

/** A draft as it is listed: id, version and title as far as its text can be read. */
export interface DraftRow {
  draft: string;
  id: string | null;
  version: string | null;
  title: string | null;
  revision: number;
  savedAt: string;
  savedBy: string;
  from: DraftSource;
}

/** Published versions, newest first within each id; drafts for those who may write them, null for others. */
export interface ProtocolsAnswer {
  published: PublishedRow[];
  drafts: DraftRow[] | null;
}

/** All faults of a draft as it is kept; `more` says how many were left out. */
export interface DraftCheck extends DraftRow {
  faults: ProtocolFault[];
  more: number;
}

/** A draft with its text. */
export interface DraftAnswer extends DraftCheck {
  text: string;
}

/** What differs between two versions, in words. */
export interface ProtocolDiffAnswer {
  older: string;
  newer: string;
  changes: ProtocolChange[];
}

/** One side of a difference: `<id>@<version>`, or a draft. */
const side = v.pipe(v.string(), v.maxLength(100), v.regex(/^(pd_[\w-]{22}|[a-z0-9-]+@[\d.]+)$/u));
export const protocolDiffQuery = v.strictObject({ older: side, newer: side });
