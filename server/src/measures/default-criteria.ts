import type { PooledShareCriterion } from './gate-proposal.ts';
import type { TrialCriterion } from './trial-criterion.ts';

const RECORDED: TrialCriterion = { kind: 'recorded' };
const notDone = (measure: string, seconds: number): TrialCriterion => ({
  kind: 'not-done-within',
  measure,
  seconds,
});
const any = (...of: TrialCriterion[]): TrialCriterion => ({ kind: 'any', of });

/**
 * What numbers can decide of the trial criteria of the default protocol, by task. The protocol's sentence is the
 * rule; what it says beyond these numbers is the recorder's mark. Limits of 20, 30, 5 and 10 degrees and of 40 and
 * 10 mm are the house's own; 10 s and 180 s follow the sources of the measures t_pulse and t_fm.
 */
export const DEFAULT_CRITERIA: Readonly<Record<string, TrialCriterion | PooledShareCriterion>> = {
  'fit-retention': RECORDED,
  'inline-hold': any({ kind: 'above', measure: 'theta_max', limit: 20 }, RECORDED),
  'logroll-supine': RECORDED,
  'logroll-prone': RECORDED,
  'pulse-check': notDone('t_pulse', 10),
  'chest-access': notDone('t_chest', 180),
  'cpr-compressions': any(
    { kind: 'below-reference', measure: 'cc_depth_mm', limit: 40, by: 10 },
    RECORDED,
  ),
  'aed-pads': RECORDED,
  'airway-open': RECORDED,
  'breathing-assess': any(notDone('t_breath', 10), RECORDED),
  'airway-clear': RECORDED,
  'fm-tool-first': notDone('t_fm', 180),
  'fm-cut-backup': notDone('t_fm_backup', 180),
  'helmet-removal': any(notDone('t_helmet', 300), {
    kind: 'above',
    measure: 'theta_max',
    limit: 30,
  }),
  'torso-removal': notDone('t_torso_off', 300),
  'combined-removal': { kind: 'away-from-zero', measure: 'delta_fe_end', limit: 5 },
  'bvm-ventilation': {
    kind: 'pooled-share',
    measure: 'p_vent',
    below: 0.5,
    upperBelow: 0.8,
    minAttempts: 20,
  },
  'lift-transfer': RECORDED,
  'secure-neutral': any({ kind: 'away-from-zero', measure: 'delta_fe_end', limit: 10 }, RECORDED),
};
