import type { Rejection, SeriesImport, SeriesQuestion } from '@unhindered/shared-types';

/** How the sending of a file ended. */
export type SeriesSent =
  | { state: 'read'; answer: SeriesImport }
  | { state: 'refused'; rejection: Rejection }
  /** The network, or the server, went away on the way. */
  | { state: 'cut' }
  /** The file itself cannot be read any more: it was changed, moved or taken out. */
  | { state: 'unreadable' }
  | { state: 'cancelled' };

/** Nothing moved for so long: the line is taken for cut. */
const STALLED_MS = 30_000;

const answerOf = (request: XMLHttpRequest): SeriesSent => {
  try {
    const body = JSON.parse(request.responseText) as SeriesImport | { error: Rejection };
    if ('error' in body) return { state: 'refused', rejection: body.error };
    return request.status === 200 ? { state: 'read', answer: body } : { state: 'cut' };
  } catch {
    // A gateway in between answered for a server that is away.
    return { state: 'cut' };
  }
};

const stillThere = async (file: Blob): Promise<SeriesSent> => {
  try {
    await file.slice(0, 1).arrayBuffer();
    return { state: 'cut' };
  } catch {
    return { state: 'unreadable' };
  }
};

/**
 * Sends a series to be read. `told` hears how many bytes went out: the server takes them in as fast as it reads, so
 * that is how far it has come. The one place without `fetch`, which tells nothing of an upload's progress.
 */
export const sendSeries = (
  evaluation: string,
  file: Blob,
  question: SeriesQuestion,
  told: (sent: number) => void,
): { done: Promise<SeriesSent>; cancel: () => void } => {
  const request = new XMLHttpRequest();
  let stalled: ReturnType<typeof setTimeout> | undefined;
  let why: SeriesSent = { state: 'cut' };
  const moved = (): void => {
    clearTimeout(stalled);
    stalled = setTimeout(() => request.abort(), STALLED_MS);
  };
  const done = new Promise<SeriesSent>((resolve) => {
    request.upload.addEventListener('progress', ({ loaded }) => {
      moved();
      told(loaded);
    });
    // All is there: what is left to work out takes the time it takes.
    request.upload.addEventListener('load', () => {
      clearTimeout(stalled);
      told(file.size);
    });
    request.addEventListener('load', () => resolve(answerOf(request)));
    request.addEventListener('abort', () => resolve(why));
    request.addEventListener('error', () => void stillThere(file).then(resolve));
  });
  const as = encodeURIComponent(JSON.stringify(question));
  request.open('POST', `/api/evaluations/${evaluation}/series?as=${as}`);
  request.setRequestHeader('content-type', 'text/csv');
  moved();
  request.send(file);
  const cancel = (): void => {
    why = { state: 'cancelled' };
    request.abort();
  };
  return { done: done.finally(() => clearTimeout(stalled)), cancel };
};
