import type { DoubtSlice, EndedMessage, Protocol } from '@unhindered/shared-types';
import type { Signer } from '../audit/key-chain.ts';
import type { Rooms } from '../documents/rooms.ts';
import type { LearningAnswer, LearningQuestion } from '../evaluation/learning.ts';
import type { EvaluationState } from '../evaluation/state.ts';
import type { RatingTable } from '../consensus/table.ts';
import type { VarianceComponents } from '../consensus/variance-components.ts';
import type { CodeDoor } from '../ports/code-door.ts';
import type { Figures } from '../ports/figures.ts';
import type { Written } from '../ports/document-store.ts';
import type { Ids } from '../ports/ids.ts';
import type { MediaFiles } from '../ports/media-files.ts';
import type { Person, Store } from '../ports/store.ts';
import type { Timers } from '../ports/timers.ts';
import type { Catalogue } from './catalogue.ts';
import type { ClockWatch } from './clock-watch.ts';
import type { Insights } from './insights.ts';
import type { Ladders } from './ladders.ts';
import type { LiveSystem } from './live-log.ts';
import type { Logs } from './logs.ts';
import type { Records } from './records.ts';
import type { PublicLinks } from './public-links.ts';
import type { SeriesImports } from './series-imports.ts';
import type { Tables } from './tables.ts';

export type { LiveEvaluation, LivePanel } from './live-log.ts';

/** A published protocol version of this workspace. */
export interface Published {
  protocol: Protocol;
  text: string;
  hash: string;
}

/** Who asks: one session's seat in one panel, on one device. */
export interface Identity {
  session: string;
  device: string;
  seat: string;
  panel: string;
}

/** Everything a flow works with. Made once, in the composition root. */
export interface App {
  store: Store;
  logs: Logs;
  insights: Insights;
  /** Times to access. */
  ladders: Ladders;
  /** Variance components of a table of ratings, for whoever plans. */
  variances: Figures<RatingTable['cells'], VarianceComponents | null>;
  tables: Tables;
  records: Records;
  /** What a reviewer learns from one evaluation. */
  learning: Figures<LearningQuestion, LearningAnswer>;
  series: SeriesImports;
  catalogue: Catalogue;
  links: PublicLinks;
  /** Photos and clips, and what is on its way up. */
  media: MediaFiles;
  /** Devices that do not believe a log, by evaluation and seat. Kept until the next start. */
  doubts: Map<string, Map<string, DoubtSlice>>;
  rooms: Rooms;
  ids: Ids;
  timers: Timers;
  /** Ages of sessions are counted by it, whatever the clock is set to. */
  clock: ClockWatch;
  signer: Signer;
  software: string;
  transport: 'tls' | 'plain' | 'loopback';
  /** Everybody comes through a proxy on this machine, over TLS, and it says where from. */
  proxied: boolean;
  /** By `<id> <version>`; grows when one is published, see published-protocols.ts. */
  protocols: Map<string, Published>;
  /** Typed codes and how many wrong ones were tried, for the whole server. */
  codes: CodeDoor;
  /** Names by seat, of every panel in use. */
  names: Map<string, Person>;
  /** What happened to the server; null where nothing is on record. */
  system: LiveSystem | null;
  /** Why nothing is written, or null. Set when the store does not match its checkpoints. */
  readOnly: string | null;
  /** Other processes work on the same store: what is in memory may be behind it. */
  shared: boolean;
  /** Called after updates of documents were kept. */
  wrote: (written: readonly Written[]) => void;
  /** Called after a log changed, with its id. */
  changed: (log: string) => void;
  /** Called when sessions of a seat ended. */
  ended: (sessions: readonly string[], why: EndedMessage['why']) => void;
}

export const protocolKey = (p: { id: string; version: string }): string => `${p.id} ${p.version}`;

/** The protocol an evaluation works under. Throws when the store lost it. */
export const protocolOf = (app: Pick<App, 'protocols'>, state: EvaluationState): Published => {
  const used = state.created?.protocol;
  const found = used && app.protocols.get(protocolKey(used));
  if (!found) throw new Error(`protocol ${used ? protocolKey(used) : '?'} is not in the store`);
  return found;
};

/** Why nothing is written at the moment, or null. */
export const whyReadOnly = (app: Pick<App, 'readOnly' | 'store'>): string | null =>
  app.readOnly ?? app.store.fault();

export const nowText = (app: Pick<App, 'timers'>): string =>
  new Date(app.timers.now()).toISOString();

/** The name of a seat; erased or unknown names are said to be so. */
export const nameOf = (app: App, seat: string): string => {
  const name = app.names.get(seat)?.name ?? '';
  return name === '' ? 'name erased' : name;
};
