import {
  fasteningWords,
  type RecordBlock,
  type ShownFitCheck,
  type SpecimenDetails,
} from '@unhindered/shared-types';
import { fitSlice } from '../../evaluation/fit.ts';
import type { RecordSource } from '../record-source.ts';
import { instantWords, orNotRecorded, plain, seatWords, strong } from '../words.ts';

const RESULTS = { met: 'met', 'not-met': 'not met', 'not-applicable': 'not applicable' } as const;
const USED = {
  yes: 'The model is used to another piece',
  no: 'The model is not used to another piece',
  unknown: 'Whether the model is used to another piece is not known',
} as const;

const ageOf = ({ made, ageStated }: SpecimenDetails): string =>
  made === null ? orNotRecorded(ageStated) : `made ${made}`;

/** What the register adds to the piece: age, mass, notes, the parts of a kit, and what was corrected since. */
export const registeredBlocks = ({ created, state }: RecordSource): RecordBlock[] => {
  const { registered } = created;
  if (!registered) return [];
  const { details, parts } = registered;
  const corrections = state.specimenCorrections.map(
    (c) =>
      `Corrected in the register on ${instantWords(c.at)}: ${c.reason} The description above is the one of before.`,
  );
  return [
    {
      kind: 'facts',
      rows: [
        { term: 'Number in the register', text: registered.specimen },
        { term: 'Age', text: ageOf(details) },
        {
          term: 'Mass',
          text: details.massG === null ? 'not recorded' : `${String(details.massG)} g`,
        },
        { term: 'Notes', text: orNotRecorded(details.notes) },
      ],
    },
    ...(parts.length === 0
      ? []
      : [
          {
            kind: 'table' as const,
            caption: 'Parts of the kit',
            head: ['Piece', 'Serial', 'Size', 'Age', 'Fastening'],
            widths: [0.26, 0.16, 0.1, 0.16, 0.32],
            rows: parts.map((p) => [
              [`${p.details.maker} ${p.details.model}`],
              [orNotRecorded(p.details.serial)],
              [orNotRecorded(p.details.size)],
              [ageOf(p.details)],
              [orNotRecorded(fasteningWords({ details: p.details, parts: [] }))],
            ]),
          },
        ]),
    ...corrections.map((text) => plain(text)),
  ];
};

const STANDINGS = {
  'not-asked': 'No fit check was asked for when this evaluation was made.',
  missing: 'There is no fit check.',
  failed: 'The last fit check failed.',
  passed: 'The piece passed its fit check by the maker’s instructions.',
  overridden: 'The first round was opened without a passed fit check, by a moderator’s decision.',
} as const;

/** What a check says beside its steps, in sentences. */
const checkWords = (source: RecordSource, c: ShownFitCheck, corrects: number): string =>
  [
    `Checked by ${seatWords(source, c.checker)} on ${instantWords(c.at)}, on model ${c.model.code}${c.model.size === '' ? '' : ` (${c.model.size})`}.`,
    c.seconds === null ? '' : `The fitting took ${String(c.seconds)} s.`,
    c.problems === '' ? '' : `Problems: ${c.problems}`,
    c.comfort
      ? `The model on comfort: “${c.comfort.said}” ${USED[c.comfort.usedToAnother]}${c.comfort.bias === '' ? '' : ` (${c.comfort.bias})`}; such reports lean towards what one is used to.`
      : '',
    c.replaces === null ? '' : `It corrects fit check ${String(corrects)}: ${c.reason ?? ''}`,
  ]
    .filter(Boolean)
    .join(' ');

const stepTable = (c: ShownFitCheck, number: number): RecordBlock => ({
  kind: 'table',
  caption: `Fit check ${String(number)}, ${c.outcome}: ${[c.instructions.title, c.instructions.edition].filter(Boolean).join(', ')}`,
  head: ['Step', 'Result', 'Remark'],
  widths: [0.5, 0.18, 0.32],
  rows: c.steps.map((s) => [[s.what], [RESULTS[s.result]], [s.remark]]),
});

/** FI-6: the fit: how it stands, every check with its steps, what corrected what, and every override with its reason. */
export const fitBlocks = (source: RecordSource): RecordBlock[] => {
  const { standing, checks, overrides } = fitSlice(source.state);
  const numbers = new Map(checks.map((c, i) => [c.fit, i + 1]));
  const calm = standing === 'passed' || standing === 'not-asked';
  return [
    calm ? plain(STANDINGS[standing]) : strong(STANDINGS[standing]),
    ...overrides.map((o) =>
      strong(`Override by ${seatWords(source, o.by)} on ${instantWords(o.at)}: ${o.reason}`),
    ),
    ...checks.flatMap((c) => [
      stepTable(c, numbers.get(c.fit) ?? 0),
      plain(checkWords(source, c, numbers.get(c.replaces ?? '') ?? 0)),
    ]),
  ];
};
