import type {
  CommandAnswer,
  EvaluationCommand,
  Outcome,
  PaperCheck,
} from '@unhindered/shared-types';
import { post } from './api.ts';
import { randomId } from './random-id.ts';

type Import = Extract<EvaluationCommand, { type: 'import-ratings' }>;

/** A file's bytes in base64. */
export const base64Of = async (file: Blob): Promise<string> => {
  const bytes = new Uint8Array(await file.arrayBuffer());
  let text = '';
  for (let at = 0; at < bytes.length; at += 8192) {
    text += String.fromCharCode(...bytes.subarray(at, at + 8192));
  }
  return btoa(text);
};

/** Ratings from paper: what a file would bring in, and bringing it in. */
export const paperApi = {
  check: (evaluation: string, csv: string): Promise<Outcome<PaperCheck>> =>
    post<PaperCheck>(`/evaluations/${evaluation}/paper/check`, { csv }),
  bringIn: (evaluation: string, csv: string, command: Import): Promise<Outcome<CommandAnswer>> =>
    post<CommandAnswer>(`/evaluations/${evaluation}/paper`, {
      id: randomId('cm_'),
      clientAt: new Date().toISOString(),
      command,
      csv,
    }),
};
