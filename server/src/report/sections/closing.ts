import type { RecordBlock, ReportingItem } from '@unhindered/shared-types';
import type { RecordSource } from '../record-source.ts';
import { instantWords, plain, plural, seatWords } from '../words.ts';

/** Limits that follow from what is on record, then the protocol's cautions. */
export const limitBlocks = (source: RecordSource): RecordBlock[] => {
  const { cautions, sections } = source.protocol;
  const tasks = sections.flatMap((s) => s.tasks);
  const onVideo = tasks.filter((t) => t.onVideo === 'no').length;
  const n = source.result.counted.length;
  return [
    {
      kind: 'list',
      items: [
        'One piece of one size, judged by one panel under one protocol version; not a sample of pieces.',
        `${plural(n, 'counted reviewer', 'counted reviewers')}: a working panel, not a survey of experts; every rating is shown.`,
        source.trials.length === 0
          ? 'Nothing was measured: the ratings are judgements.'
          : `${plural(source.trials.length, 'trial', 'trials')} with trained people, a manikin and healthy volunteers, not with patients.`,
        `Weights of sections and tasks are the protocol’s choice; the composite changes with them. ${plural(onVideo, 'task', 'tasks')} cannot be judged on video.`,
      ],
    },
    plain(cautions.thresholds),
    plain(cautions.removal),
    plain(cautions.comparison),
    plain(cautions.remote),
    plain(cautions.skills),
    plain(cautions.incident),
  ];
};

const grouped = (hex: string): string => hex.replace(/(.{4})(?=.)/gu, '$1 ');

/** The trail's head, and how anybody checks the record without trusting who printed it. */
export const verifyBlocks = (source: RecordSource): RecordBlock[] => {
  const { locked, head, bundle } = source;
  const file = `${bundle.log}.unhindered.json`;
  return [
    {
      kind: 'facts',
      rows: [
        { term: 'Evaluation', text: bundle.log },
        {
          term: 'Locked',
          text: `${instantWords(locked.at)}, signed by ${seatWords(source, locked.signedBy)}: “${locked.meaning}”`,
        },
        { term: 'Program', text: locked.software },
        { term: 'Log', text: `${bundle.origin}, ${plural(head.size, 'event', 'events')}` },
        { term: 'Head of the log (RFC 6962, SHA-256)', text: grouped(head.root) },
        { term: 'Verifier key', text: bundle.vkey },
      ],
    },
    plain(
      'Ask for the bundle, the signed file this record was made from, and check it offline on any machine with Node:',
    ),
    {
      kind: 'list',
      items: [
        `npx unhindered verify ${file}`,
        `npx unhindered report ${file} --out record.pdf`,
        `npx unhindered export ${file} --out data`,
      ],
    },
    plain(
      '“verify” recomputes every figure and prints the log’s head, which must be the one above. “report” builds this file again, byte for byte with the same version of the program. “export” writes every rating and every event as CSV with a data dictionary. Proven: the events are complete, unchanged and in order, and every figure follows from them. Not proven: the time of day, who sat at a device, and that the key was in the right hands.',
    ),
  ];
};

const STATUS = {
  present: 'present',
  partly: 'in part',
  absent: 'absent',
  'not-applicable': 'not applicable',
} as const satisfies Record<ReportingItem['status'], string>;

const answerWords = (
  { status, place, remark }: ReportingItem,
  numberOf: (id: NonNullable<ReportingItem['place']>) => number,
): string => {
  const where = place === null ? '' : `, section ${String(numberOf(place))}`;
  return `${STATUS[status]}${where}${remark === '' ? '' : `: ${remark}`}`;
};

/** The reporting items of published guidelines, each with its place in this record. */
export const checklistBlocks = (
  items: readonly ReportingItem[],
  numberOf: (id: NonNullable<ReportingItem['place']>) => number,
): RecordBlock[] => {
  const count = (status: ReportingItem['status']): number =>
    items.filter((i) => i.status === status).length;
  return [
    plain(
      `What guidelines for agreement studies (GRRAS), consensus methods (ACCORD) and crossover trials (CONSORT) ask to be reported, in our words: ${String(count('present'))} items present, ${String(count('partly'))} in part, ${String(count('absent'))} absent, ${String(count('not-applicable'))} not applicable. Numbers are the sections of this record.`,
    ),
    {
      kind: 'table',
      caption: 'Reporting checklist',
      head: ['', 'Item', 'After', 'Here'],
      widths: [0.07, 0.38, 0.18, 0.37],
      rows: items.map((i) => [[i.id], [i.item], [i.after], [answerWords(i, numberOf)]]),
    },
  ];
};
