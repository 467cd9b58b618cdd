import type { Identity } from '../../server/src/flows/app.ts';
import type { BoardEntry, TrialEntry } from '../../shared-types/src/index.ts';
import { accepted, type SeatedPanel } from './seated-panel.ts';
import { trial } from './trials.ts';

type Measures = TrialEntry['measures'];

const value = (measure: string, text: string): Measures => [{ measure, value: text, counts: null }];

const breaths = (successes: number, of: number): Measures => [
  { measure: 'p_vent', value: String((100 * successes) / of), counts: { successes, of } },
];

const depth = (text: string, more: Partial<TrialEntry> = {}): TrialEntry =>
  trial({ task: 'cpr-compressions', measures: value('cc_depth_mm', text), ...more });

const kept = (degrees: string, more: Partial<TrialEntry> = {}): TrialEntry =>
  trial({
    task: 'combined-removal',
    state: 'strap-released',
    measures: value('delta_fe_end', degrees),
    ...more,
  });

const mapping = {
  delimiter: ',',
  decimal: '.',
  time: { column: 't', unit: 's' },
  depth: { column: 'd', unit: 'mm' },
  released: null,
  hand: null,
  volume: null,
  success: null,
  inspiration: null,
};

/** The file that a depth came from. */
const source = {
  file: 'depth of K1.csv',
  sha256: 'c0ffee'.padEnd(64, '0'),
  rows: 240,
  as: JSON.stringify({ kind: 'manikin', mapping, span: {} }),
  software: 'unhindered test',
  measures: ['cc_depth_mm'],
};

/** Steps that three reviewers gave the tasks below; each owes a decision. */
export const MEASURED_RATINGS: Record<string, readonly number[]> = {
  'cpr-compressions': [5, 4, 4],
  'combined-removal': [5, 5, 4],
  'bvm-ventilation': [5, 4, 4],
};

/** Trials whose values decide: against the same operator's reference, from zero either way, and of shares pooled. */
export const measuredTrials: readonly BoardEntry[] = [
  depth('52', { condition: 'reference', state: 'all-removed', criterion: null }),
  depth('50.5', { condition: 'reference', criterion: null }),
  depth('38', { sources: [source] }),
  depth('39.9', { criterion: true }),
  // No reference of this operator: the mark stands.
  depth('30', { operator: 'K2', criterion: null }),
  depth('31', { operator: 'K3', criterion: false }),
  kept('-6'),
  kept('5', { criterion: true }),
  kept('4.9', { operator: 'K2', criterion: null }),
  ...[breaths(3, 12), breaths(4, 16)].map((measures) =>
    trial({ task: 'bvm-ventilation', state: 'mask-removed', measures, seconds: null }),
  ),
];

/** Two models: the trials of one who left are left out, those of the other count. */
export const trialsOfModels = async (
  p: SeatedPanel,
  recorder: Identity,
  enter: (who: Identity, ...entries: BoardEntry[]) => Promise<string[]>,
): Promise<void> => {
  const { moderator, onPanel, act } = p;
  for (const model of ['M1', 'M-2']) {
    accepted(await onPanel(moderator, { type: 'record-consent', model, written: true }));
  }
  await enter(recorder, kept('20', { model: 'M1' }), kept('3', { model: 'M-2' }));
  for (const model of ['M1', 'M-2']) {
    accepted(await onPanel(moderator, { type: 'withdraw-consent', model }));
  }
  const reason = 'The model asked that what was measured on them is not used.';
  const decide = { type: 'decide-model-trials', reason } as const;
  accepted(await act(moderator, { ...decide, model: 'M-2', count: false }));
  accepted(await act(moderator, { ...decide, model: 'M1', count: false }));
  accepted(await act(moderator, { ...decide, model: 'M-2', count: true }));
};
