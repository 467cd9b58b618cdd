import type { RecordSectionId, ReportingItem } from '@unhindered/shared-types';
import { CROSSOVER, modelItem } from './crossover-items.ts';
import { allStated } from './sections/observed.ts';
import type { RecordSource } from './record-source.ts';
import { absent, partly, present, type Answer, type Rule } from './reporting-rule.ts';

/** Present when everything asked for is there, in part when something is, absent when nothing is. */
const fields = (
  place: RecordSectionId,
  has: readonly (readonly [what: string, there: boolean])[],
  never = '',
): Answer => {
  const missing = [
    ...has.filter(([, there]) => !there).map(([what]) => what),
    ...(never ? [never] : []),
  ];
  if (missing.length === 0) return present(place);
  const remark = `not recorded: ${missing.join(', ')}`;
  return has.some(([, there]) => there) ? partly(place, remark) : absent(remark);
};

/** What only a round that was sealed here can say. */
const sealedHere =
  (place: RecordSectionId) =>
  ({ state }: RecordSource): Answer =>
    state.paper ? absent('rated on paper; not on record here') : present(place);

const NOT_ASKED = 'this program does not ask for it';

const STUDY: readonly Rule[] = [
  [
    'R01',
    'title says that it is a panel rating and an agreement study',
    'GRRAS 1, ACCORD title',
    () => present('verdict', 'in the title'),
  ],
  [
    'R02',
    'instrument: protocol name, version, hash, scale, anchors, basis',
    'GRRAS 2',
    () => present('method', 'anchors of single tasks stand in the protocol, in the bundle'),
  ],
  [
    'R03',
    'piece under review: kind, maker, model, size, batch, condition, photographs',
    'GRRAS 3',
    ({ created: { specimen: p } }) =>
      fields(
        'specimen',
        [
          ['kind, maker and model', p.maker !== '' && p.model !== ''],
          ['size', p.size !== ''],
          ['serial or batch', p.serial !== ''],
          ['condition', p.condition !== ''],
        ],
        'photographs',
      ),
  ],
  [
    'R04',
    'reviewers: number, roles, experience, how chosen',
    'GRRAS 4, 12, ACCORD methods',
    () =>
      partly(
        'panel',
        'number, role and knowledge of the piece; years, training and choice are not recorded',
      ),
  ],
  ['R05', 'what was known before, why now', 'GRRAS 5', () => absent(NOT_ASKED)],
  [
    'R06',
    'number of reviewers, items, trials, and how set',
    'GRRAS 6',
    () => partly('panel', 'numbers; how they were set is not recorded'),
  ],
  ['R07', 'how pieces, teams and models were sampled', 'GRRAS 7', () => absent(NOT_ASKED)],
  [
    'R08',
    'rating process: place, remote or present, what reviewers could see',
    'GRRAS 8',
    (source) =>
      allStated(source)
        ? present('panel', 'remote or present; what they could see in “Course”')
        : partly('course', 'what they could see; not every reviewer said how they saw the work'),
  ],
  [
    'R09',
    'scores independent and hidden until opened, when, by whom',
    'GRRAS 9',
    ({ state }) =>
      state.paper
        ? partly('course', 'rated on paper; who imported them and when, not who saw whose')
        : present('course'),
  ],
  [
    'R10',
    'analysis: median, spread, agreement, rules set beforehand',
    'GRRAS 10, ACCORD',
    () => present('method', 'figures in “Agreement”'),
  ],
  [
    'R11',
    'actual numbers: given, not applicable, not observed, abstained',
    'GRRAS 11',
    () => present('panel'),
  ],
  ['R12', 'description of models: size, mass, hair, neck', 'GRRAS 12', modelItem],
  [
    'R13',
    'estimates with uncertainty',
    'GRRAS 13',
    ({ result }) =>
      'lower' in result.means.interval
        ? present('agreement', 'and in “Verdict”')
        : partly('agreement', 'estimates; no interval, the record says why'),
  ],
  [
    'R14',
    'what the result means in practice',
    'GRRAS 14',
    () => present('verdict', 'in steps of the scale, with the limits in “Limits and cautions”'),
  ],
  [
    'R15',
    'full data item by item as a file',
    'GRRAS 15',
    () => present('verify', 'bundle and CSV'),
  ],
];

const CONSENSUS: readonly Rule[] = [
  [
    'R26',
    'definition of consensus and number of rounds, set beforehand',
    'ACCORD',
    () => present('method'),
  ],
  ['R27', 'feedback between rounds, what was shown to whom', 'ACCORD', sealedHere('course')],
  ['R28', 'anonymity among reviewers', 'ACCORD', sealedHere('panel')],
  ['R29', 'each score changed after opening, with reason', 'ACCORD', () => present('course')],
  [
    'R30',
    'items settled by the moderator, with reason and the scores before',
    'ACCORD',
    () => present('settlements', 'scores in “Every rating”'),
  ],
  [
    'R31',
    'critical failures proposed, confirmed, rejected, with evidence',
    'house',
    () => present('gates'),
  ],
  [
    'R32',
    'declared interests, what was done, result with and without',
    'ACCORD other',
    () => present('interests'),
  ],
  [
    'R33',
    'funding and who supplied the piece',
    'ACCORD other',
    ({ created: { specimen: p } }) =>
      fields('specimen', [['supplier', p.suppliedBy !== '']], 'funding'),
  ],
  [
    'R34',
    'changes to the protocol after the start',
    'ACCORD, CONSORT',
    () => present('deviations'),
  ],
  [
    'R35',
    'limits: one size, one team, no patient, number of reviewers',
    'GRRAS 14, ACCORD',
    () => present('limits'),
  ],
  ['R36', 'head of the audit trail and how to check it', 'house', () => present('verify')],
  ['R37', 'date, software version', 'house', () => present('verify')],
];

/**
 * RE-4: every reporting item has one answer, taken from what is on record: present with its place, in part with
 * what is missing, absent, or not applicable. Items after Kottner 2011 (GRRAS), Gattrell 2024 (ACCORD) and
 * Dwan 2019 (CONSORT for crossover trials); wording is ours.
 */
export const reportingChecklist = (source: RecordSource): ReportingItem[] =>
  [...STUDY, ...CROSSOVER, ...CONSENSUS].map(([id, item, after, answer]) => ({
    id,
    item,
    after,
    ...answer(source),
  }));
