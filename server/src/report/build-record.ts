import {
  languageOf,
  RECORD_FORMAT,
  type RecordBlock,
  type RecordDocument,
  type RecordSectionId,
} from '@unhindered/shared-types';
import { reportingChecklist } from './checklist.ts';
import { namedFigures, recordFigures, type RecordFigures } from './record-figures.ts';
import { readSource, type RecordSource } from './record-source.ts';
import { agreementBlocks, sensitivityBlocks } from './sections/agreement.ts';
import { checklistBlocks, limitBlocks, verifyBlocks } from './sections/closing.ts';
import { courseBlocks } from './sections/course.ts';
import { deviationBlocks } from './sections/deviations.ts';
import { evidenceBlocks } from './sections/evidence.ts';
import { fitBlocks, registeredBlocks } from './sections/fit.ts';
import { photoBlocks } from './sections/photos.ts';
import { paperBlocks, paperMark } from './sections/paper.ts';
import { interestBlocks, panelBlocks } from './sections/panel.ts';
import { safetyBlocks } from './sections/safety.ts';
import { gateBlocks, settlementBlocks } from './sections/settlements.ts';
import { endorsementBlocks, sinceBlocks } from './sections/since.ts';
import { methodBlocks, specimenBlocks } from './sections/subject.ts';
import { ratingBlocks, taskBlocks } from './sections/tasks.ts';
import { verdictBlocks } from './sections/verdict.ts';
import { heading, instantWords } from './words.ts';

type Chapter = readonly [
  id: RecordSectionId,
  title: string,
  blocks: (source: RecordSource, figures: RecordFigures) => RecordBlock[],
];

/** The sections of a record, in reading order: the answer first, then what it rests on. */
const CHAPTERS: readonly Chapter[] = [
  ['verdict', 'Verdict', (s) => [...sinceBlocks(s), ...paperMark(s), ...verdictBlocks(s)]],
  ['gates', 'Critical failures', gateBlocks],
  ['tasks', 'Task by task', (s) => [...paperMark(s), ...taskBlocks(s)]],
  ['settlements', 'Settlements and minority opinions', settlementBlocks],
  ['evidence', 'Evidence', evidenceBlocks],
  ['agreement', 'Agreement', (s, f) => [...paperMark(s), ...agreementBlocks(s, f)]],
  ['sensitivity', 'Sensitivity', (s, f) => [...paperMark(s), ...sensitivityBlocks(s, f)]],
  ['interests', 'Declared interests', interestBlocks],
  ['panel', 'The panel', (s) => [...panelBlocks(s), ...endorsementBlocks(s)]],
  [
    'specimen',
    'The piece',
    (s) => [
      ...specimenBlocks(s),
      ...registeredBlocks(s),
      ...photoBlocks(s),
      heading('Fit check'),
      ...fitBlocks(s),
    ],
  ],
  ['method', 'How it was judged', methodBlocks],
  ['course', 'Course', (s) => [...paperBlocks(s), ...courseBlocks(s)]],
  ['safety', 'Safety of the day', safetyBlocks],
  ['deviations', 'Deviations from protocol', deviationBlocks],
  ['limits', 'Limits and cautions', limitBlocks],
  ['ratings', 'Every rating', (s) => [...paperMark(s), ...ratingBlocks(s)]],
  ['verify', 'Check it yourself', verifyBlocks],
];

const numberOf = (id: RecordSectionId): number => {
  const at = CHAPTERS.findIndex(([chapter]) => chapter === id);
  return (at < 0 ? CHAPTERS.length : at) + 1;
};

/** The record of a source that was read already. */
export const recordOf = (source: RecordSource): RecordDocument => {
  const figures = recordFigures(source);
  const checklist = reportingChecklist(source);
  const sections = CHAPTERS.map(([id, title, blocks]) => ({
    id,
    number: numberOf(id),
    title,
    blocks: blocks(source, figures),
  }));
  const { created, protocol, locked, head, bundle } = source;
  return {
    format: RECORD_FORMAT,
    language: 'en',
    protocolLanguage: languageOf(protocol),
    evaluation: bundle.log,
    title: created.title,
    subtitle: `Panel rating and agreement record: ${created.specimen.maker}, ${created.specimen.model}, under ${protocol.title} ${protocol.version}; locked ${instantWords(locked.at)}`,
    invented: protocol.invented,
    lockedAt: locked.at,
    root: head.root,
    software: locked.software,
    sections: [
      ...sections,
      {
        id: 'checklist',
        number: numberOf('checklist'),
        title: 'Reporting checklist',
        blocks: checklistBlocks(checklist, numberOf),
      },
    ],
    checklist,
    figures: namedFigures(source, figures),
  };
};

/** The record of a locked evaluation from its bundle's bytes, which must have been verified. */
export const buildRecord = (bytes: Uint8Array, names = false): RecordDocument =>
  recordOf(readSource(bytes, names));
