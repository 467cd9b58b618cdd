import { setTimeout as pause } from 'node:timers/promises';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';

/**
 * A well-behaved reviewer in a process of its own: writes a note on its own sheet, waits until the server has it on
 * disk, and goes on. Told to report, it says what was acknowledged since the last report.
 */
export interface Report {
  acknowledged: number;
  /** Number in the last acknowledged note. */
  last: number;
  milliseconds: number[];
  disconnects: number;
  document: string;
}

/** A report comes without an acknowledgement after so long. */
const PATIENCE_MS = 10_000;

const [url = '', cookie = '', evaluation = ''] = process.argv.slice(2);
const client = new SeatClient(url, cookie);
await client.watch(evaluation);
await client.until('a sheet', (v) => v.me?.sheets.length === 1);
const sheet = await client.openSheet(1);
let disconnects = 0;
sheet.provider.on('connection-close', () => disconnects++);

let n = 0;
let last = 0;
let times: number[] = [];
let patience: NodeJS.Timeout | undefined;

const tell = (): void => {
  clearTimeout(patience);
  patience = undefined;
  const document = client.view.me?.sheets[0]?.document ?? '';
  const acknowledged = times.length;
  const report: Report = { acknowledged, last, milliseconds: times, disconnects, document };
  times = [];
  disconnects = 0;
  process.send?.(report);
};

// A report waits for the next acknowledgement, so that it says something about now.
process.on('message', (ask: 'report' | 'reset') => {
  if (ask === 'reset') {
    times = [];
    disconnects = 0;
  } else patience = setTimeout(tell, PATIENCE_MS);
});
process.on('disconnect', () => process.exit(0));

for (;;) {
  const started = performance.now();
  n++;
  sheet.set('aed-pads', { note: `n=${String(n)}` });
  await sheet.saved();
  last = n;
  times.push(performance.now() - started);
  if (n === 1) process.send?.('ready');
  if (patience) tell();
  await pause(45);
}
