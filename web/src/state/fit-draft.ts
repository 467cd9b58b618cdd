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

/** What is wrong, in words, and the field it is wrong at: of a step its place, or its result. */
export interface FitFault {
  fault: string;
  at: 'title' | 'code' | 'minutes' | `s${number}` | `s${number}-result`;
}

const faultOf = (draft: FitDraft): FitFault | undefined => {
  const { faults } = words.fit;
  if (draft.title.trim() === '') return { fault: faults.instructions, at: 'title' };
  const unsaid = draft.steps.findIndex((s) => s.what.trim() === '');
  if (unsaid >= 0) return { fault: faults.steps, at: `s${unsaid}` };
  if (!MODEL_CODE.test(draft.code.trim().toUpperCase())) return { fault: faults.code, at: 'code' };
  if (secondsOf(draft.minutes) === undefined) return { fault: faults.minutes, at: 'minutes' };
  const unfit = draft.outcome === 'passed' ? unfitFor(draft.steps) : null;
  if (unfit === null) return undefined;
  const unmet = draft.steps.findIndex((s) => s.result === 'not-met');
  return { fault: faults[unfit], at: `s${Math.max(0, unmet)}-result` };
};

/** The check that a draft says; the first fault instead, or neither while no outcome is chosen. */
export const readFit = (draft: FitDraft): { check?: FitCheck; wrong?: FitFault } => {
  const wrong = faultOf(draft);
  if (wrong !== undefined) return { wrong };
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
