import type { EvaluationCommand, FitCheck } from '@unhindered/shared-types';

/** An invented fit check that passed, as the seat `checker` would enter it. */
export const inventedFit = (checker: string): FitCheck => ({
  instructions: { title: 'Fitting sheet of the maker (invented)', edition: '2' },
  steps: [
    { what: 'Size chosen by the circumference that the maker states', result: 'met', remark: '' },
    { what: 'No gap under the front edge', result: 'met', remark: '' },
    { what: 'Straps pulled as the sheet shows', result: 'met', remark: '' },
    { what: 'Inflatable pads set', result: 'not-applicable', remark: 'It has none.' },
  ],
  checker,
  model: { code: 'M1', size: 'head 57 cm (invented)' },
  seconds: 240,
  problems: '',
  comfort: {
    said: 'Sits firmly, presses a little at the jaw.',
    usedToAnother: 'yes',
    bias: 'Wears a lighter piece in training.',
  },
  outcome: 'passed',
});

/** The command that records it. */
export const inventedFitCommand = (
  checker: string,
): Extract<EvaluationCommand, { type: 'check-fit' }> => ({
  type: 'check-fit',
  check: inventedFit(checker),
  replaces: null,
  reason: null,
});
