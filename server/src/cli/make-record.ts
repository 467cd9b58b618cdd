import type { RecordAnswer, RecordQuestion } from '../flows/records.ts';
import { recordPaper } from '../paper/record-paper.ts';
import { recordOf } from '../report/build-record.ts';
import { exportFiles } from '../report/open-data/export-files.ts';
import { readSource } from '../report/record-source.ts';

type Fonts = Parameters<typeof recordPaper>[2];

const encoded = (text: string): Uint8Array => new TextEncoder().encode(text);

/** Makes one form of a record from a bundle; the server's thread and the command line share it. */
export const makeRecord = async (
  question: RecordQuestion,
  fonts: () => Fonts,
): Promise<RecordAnswer> => {
  const source = readSource(question.bundle, question.names);
  switch (question.form) {
    case 'document':
      return { bytes: encoded(JSON.stringify(recordOf(source))) };
    case 'paper':
      return { bytes: await recordPaper(recordOf(source), question.paper, fonts()) };
    case 'data': {
      const file = exportFiles(source).find((f) => f.name === question.file);
      return { bytes: file ? encoded(file.text) : null };
    }
  }
};
