import type { EvaluationCommand, FitCheck } from '@unhindered/shared-types';

/** The invented model of every demonstration. */
export const DEMO_MODEL = 'M2';

type FitCommand = Extract<EvaluationCommand, { type: 'check-fit' | 'override-fit' }>;

const check = (checker: string, strap: 'met' | 'not-met'): FitCheck => ({
  instructions: { title: 'Fitting guide that comes with the piece (invented)', edition: '2022-05' },
  steps: [
    { what: 'Size by the table of the maker', result: 'met', remark: '' },
    {
      what: 'Straps lie flat and hold when pulled',
      result: strap,
      remark: strap === 'met' ? '' : 'The left strap was one hole too long.',
    },
    { what: 'Padding touches all round', result: 'met', remark: '' },
  ],
  checker,
  model: { code: DEMO_MODEL, size: '182 cm, 84 kg (invented)' },
  seconds: strap === 'met' ? 210 : 330,
  problems: strap === 'met' ? '' : 'It turned on the body when pulled.',
  comfort: {
    said: 'Bearable for an hour.',
    usedToAnother: 'yes',
    bias: 'Has worn another make for two seasons.',
  },
  outcome: strap === 'met' ? 'passed' : 'failed',
});

/** What the invented panels did about the fit: most checked once, one twice, and one had no instructions to check by. */
export const demoFit = (piece: string, checker: string): FitCommand[] => {
  const passed: FitCommand = {
    type: 'check-fit',
    check: check(checker, 'met'),
    replaces: null,
    reason: null,
  };
  if (piece === 'd2') return [{ ...passed, check: check(checker, 'not-met') }, passed];
  if (piece === 'd5') {
    const reason =
      'Invented: the piece came second-hand, and the maker gives no instructions for it.';
    return [{ type: 'override-fit', reason }];
  }
  return [passed];
};
