import * as v from 'valibot';
import type { BareMultiple } from './access.ts';
import type { RecordState } from './record-state.ts';
import type { Result } from './figures.ts';
import type { Protocol } from './protocol.ts';
import type { Answer } from './rating.ts';
import type { Role } from './roles.ts';
import type { Scale } from './scale.ts';
import type { Shown } from './shown.ts';
import type { Specimen } from './specimen.ts';

/** POST /api/public/look: what a public link leads to. The secret stands in the link's fragment. */
export const publicLookBody = v.strictObject({ secret: v.pipe(v.string(), v.maxLength(64)) });
export type PublicLookBody = v.InferOutput<typeof publicLookBody>;

/** What a record and a care card both say of themselves. */
interface Published {
  evaluation: string;
  title: string;
  specimen: Specimen;
  protocol: Pick<Protocol, 'id' | 'version' | 'title' | 'invented' | 'language'>;
  state: RecordState;
  /** The record that took its place. */
  successor: { title: string; lockedAt: string; withdrawn: boolean } | null;
  lockedAt: string;
  /** Reviewers whose ratings count. */
  reviewers: number;
  cautions: { scope: string; gate: string; removal: string; thresholds: string };
}

/** A locked record for people outside the panel: reviewers by letter, names only where the panel chose so. */
export interface PublicRecord extends Published {
  kind: 'record';
  scale: Pick<Scale, 'title' | 'min' | 'max' | 'better' | 'datum' | 'points'>;
  /** What the signature stands for, and the program that computed the figures. */
  meaning: string;
  software: string;
  result: Pick<Result, 'verdict' | 'composite' | 'alphaOrdinal'> & {
    means: Pick<Result['means'], 'value' | 'interval'>;
    withInterests: Result['means']['value'];
  };
  sections: { section: string; letter: string; title: string }[];
  tasks: (Pick<Result['tasks'][number], 'task' | 'settled' | 'how' | 'median' | 'divergent'> & {
    title: string;
    reason: string | null;
    gate: { confirmed: boolean; backedByTrials: boolean; reason: string } | null;
    ratings: { letter: string; answer: Answer; step: number | null; counted: boolean }[];
  })[];
  /** Ties by their kind; what they are exactly only with the names. */
  panel: {
    role: Role;
    letter: string | null;
    name: string | null;
    ties: { to: string; detail: string | null }[];
  }[];
  endorsements: { letter: string; content: boolean; reason: string; tied: boolean }[];
  head: { root: string; size: number };
}

/** A task of the card with its settled value and the protocol's own sentence for that point of the scale. */
export interface CardTask {
  task: string;
  title: string;
  /** Equipment state in which it was judged. */
  state: string;
  value: number;
  sentence: string;
  /** The panel did not agree and left it open. */
  leftOpen: boolean;
}

/** Attempts at one task, in the state it is judged in: how many were done, and the middle time, one not done ranked last. */
export interface CardTrials {
  done: number;
  of: number;
  medianSeconds: Shown;
  /** Null where it was not timed without the equipment too. */
  bare: BareMultiple | null;
}

/** One page for the sideline, about one model as one panel found it. It gives no advice on treating anybody. */
export interface CareCard extends Published {
  kind: 'card';
  /** Its ratings came from paper and were never sealed by this program. */
  paper: boolean;
  /** Steps from the good end to the worst. */
  reach: number;
  /** Upheld critical failures. */
  blocked: { title: string; backedByTrials: boolean }[];
  /** Three fifths of the scale or more from the datum, worst first. */
  marked: CardTask[];
  /** Two fifths or more. */
  delayed: CardTask[];
  slight: CardTask[];
  asWithout: CardTask[];
  /** Tools that the judged tasks use. `trials` is null where no timed attempt is on record. */
  tools: { tool: string; tasks: (CardTask & { trials: CardTrials | null })[] }[];
  statesTested: string[];
  notTested: {
    states: string[];
    tasks: {
      title: string;
      why: 'not-applicable' | 'not-observed' | 'not-rated';
      reason: string | null;
    }[];
  };
}

/** A card of a withdrawn record says so, and nothing of what was found. */
export type WithdrawnCard = Published & { kind: 'withdrawn-card' };

export type PublicAnswer = PublicRecord | CareCard | WithdrawnCard;
export type CardAnswer = CareCard | WithdrawnCard;
