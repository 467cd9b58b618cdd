import {
  MODEL_CODE,
  unfitFor,
  type FitCheck,
  type FitStep,
  type ShownFitCheck,
} from '@unhindered/shared-types';
import { words } from '../words/specimens.ts';

type Used = 'yes' | 'no' | 'unknown';

/** A fit check as it is typed. */
export interface FitDraft {
  title: string;
  edition: string;
  steps: FitStep[];
  checker: string;
  code: string;
  size: string;
  minutes: string;
  problems: string;
  said: string;
  usedToAnother: Used;
  bias: string;
  outcome: 'passed' | 'failed' | '';
}

export const emptyStep = (): FitStep => ({ what: '', result: 'met', remark: '' });

const minutesOf = (seconds: number | null): string =>
  seconds === null ? '' : String(Math.round(seconds / 6) / 10);

/** A draft for a new check: the steps of the last one are taken over, with nothing said of how it went. */
export const fitDraft = (checker: string, last?: ShownFitCheck): FitDraft => ({
  title: last?.instructions.title ?? '',
  edition: last?.instructions.edition ?? '',
  steps: last ? last.steps.map((s) => ({ ...s })) : [emptyStep()],
  checker,
  code: last?.model.code ?? '',
  size: last?.model.size ?? '',
  minutes: '',
  problems: '',
  said: '',
  usedToAnother: last?.comfort?.usedToAnother ?? 'unknown',
  bias: last?.comfort?.bias ?? '',
  outcome: '',
});

/** A draft with everything that a check says, to correct it. */
export const correctionDraft = (check: ShownFitCheck): FitDraft => ({
  ...fitDraft(check.checker, check),
  minutes: minutesOf(check.seconds),
  problems: check.problems,
  said: check.comfort?.said ?? '',
  outcome: check.outcome,
});

const secondsOf = (text: string): number | null | undefined => {
  if (text.trim() === '') return null;
  const minutes = Number(text.trim().replace(',', '.'));
  const seconds = Math.round(minutes * 60);
  return Number.isFinite(minutes) && seconds >= 1 && seconds <= 36_000 ? seconds : undefined;
};

const faultOf = (draft: FitDraft): string | undefined => {
  const { faults } = words.fit;
  if (draft.title.trim() === '') return faults.instructions;
  if (draft.steps.length === 0 || draft.steps.some((s) => s.what.trim() === '')) {
    return faults.steps;
  }
  if (!MODEL_CODE.test(draft.code.trim().toUpperCase())) return faults.code;
  if (secondsOf(draft.minutes) === undefined) return faults.minutes;
  const unfit = draft.outcome === 'passed' ? unfitFor(draft.steps) : null;
  return unfit === null ? undefined : faults[unfit];
};

/** The check that a draft says; the first fault in words instead, or neither while no outcome is chosen. */
export const readFit = (draft: FitDraft): { check?: FitCheck; fault?: string } => {
  const fault = faultOf(draft);
  if (fault !== undefined) return { fault };
  if (draft.outcome === '') return {};
  const { title, edition, steps, checker, code, size, problems, said, usedToAnother, bias } = draft;
  return {
    check: {
      instructions: { title, edition },
      steps: steps.map((s) => ({ ...s })),
      checker,
      model: { code: code.trim().toUpperCase(), size },
      seconds: secondsOf(draft.minutes) ?? null,
      problems,
      comfort: said.trim() === '' ? null : { said, usedToAnother, bias },
      outcome: draft.outcome,
    },
  };
};
