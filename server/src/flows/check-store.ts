import { openCheckpointBy, type TrustedKeys } from '../audit/key-chain.ts';
import { parseCanonical } from '../audit/canonical-json.ts';
import { Frontier, leafHash } from '../audit/merkle.ts';
import type { LogStore } from '../ports/store.ts';

/** One fault of one log, and the first event that can be blamed. */
export interface LogFault {
  log: string;
  seq: number;
  what: string;
}

const numberFault = (text: string, log: string, seq: number): string | undefined => {
  try {
    const event = parseCanonical(text) as { log?: unknown; seq?: unknown };
    return event.log === log && event.seq === seq ? undefined : 'says it is another event';
  } catch (error) {
    return error instanceof Error ? error.message : 'cannot be read';
  }
};

/**
 * AU-4: recomputes every root of a log from the stored texts and compares it with the checkpoints that were
 * signed over it, by one of the keys (KR-1). The first fault, or undefined.
 */
export const checkLog = async (
  store: LogStore,
  log: string,
  keys: TrustedKeys,
): Promise<LogFault | undefined> => {
  // Before the events: another process may add both while they are read.
  let by = 0;
  const checkpoints = (await store.checkpoints(log)).map((note) => {
    const opened = openCheckpointBy(note, keys, by);
    if (opened.ok) by = opened.by;
    return opened;
  });
  const rows = await store.rows(log);
  const stray = rows.find((row, i) => row.seq !== i);
  if (stray) return { log, seq: stray.seq, what: 'stands under a number that is not its own' };
  const texts = rows.map((r) => r.text);
  const edge = new Frontier();
  // The first events of a log are signed in the commit that makes them.
  if (texts.length > 0 && checkpoints.length === 0) {
    return { log, seq: 0, what: 'its checkpoints are missing' };
  }
  let trusted = 0;
  let seq = 0;
  for (const opened of checkpoints) {
    if (!opened.ok) return { log, seq: trusted, what: `a checkpoint does not hold: ${opened.why}` };
    const { size, root } = opened.checkpoint;
    if (size > texts.length)
      return { log, seq: texts.length, what: 'the end of the log is missing' };
    for (; seq < size; seq++) {
      const text = texts[seq] ?? '';
      const what = numberFault(text, log, seq);
      if (what !== undefined) return { log, seq, what };
      edge.append(leafHash(text));
    }
    if (!Buffer.from(edge.root()).equals(Buffer.from(root))) {
      return {
        log,
        seq: trusted,
        what: `events ${String(trusted)} to ${String(size - 1)} were changed`,
      };
    }
    trusted = size;
  }
  // What no checkpoint covers yet can only be asked whether it is in its place.
  const rest = rows.slice(seq).find((r) => numberFault(r.text, log, r.seq) !== undefined);
  return rest && { log, seq: rest.seq, what: numberFault(rest.text, log, rest.seq) ?? '' };
};

/** Checks every log of a store; the faults found. */
export const checkStore = async (store: LogStore, keys: TrustedKeys): Promise<LogFault[]> => {
  const faults: LogFault[] = [];
  for (const { log } of await store.logs()) {
    const fault = await checkLog(store, log, keys);
    if (fault) faults.push(fault);
  }
  return faults;
};
