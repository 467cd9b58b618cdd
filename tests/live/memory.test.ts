import { expect, onTestFinished, test } from 'vitest';
import { livePanel } from '../support/live-panel.ts';
import { editAll, measuredServer, openSheets } from '../support/measured-load.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

/**
 * What an acknowledged edit may leave in memory, bytes. An edit of two fields leaves two overwritten items and two
 * new ones in the live Yjs document: about 20 bytes encoded, some hundred as objects. The allowance is wide because the
 * first hundreds of edits also warm up code and buffers; a copy of the document (1.6 kB and more) kept for each edit,
 * or of a message to each of the others, does not fit it.
 */
const A_EDIT = 2000;

test('an edit leaves a bounded trace in the server’s memory', { timeout: 300_000 }, async () => {
  const server = await measuredServer(temporaryDirectory());
  onTestFinished(() => server.stop());
  const panel = await livePanel(server.url, server.signInLink);
  const sheets = await openSheets(panel, 4);
  for (const sheet of sheets) onTestFinished(() => sheet.close());
  await editAll(sheets, 80, 35);
  const before = await server.measure();
  const edits = await editAll(sheets, 100, 35);
  const after = await server.measure();
  const each = (after.heap - before.heap) / edits;
  process.stdout.write(
    `memory: ${String(edits)} acknowledged edits, ${each.toFixed(0)} bytes of heap each (at most ${String(A_EDIT)})\n`,
  );
  expect(each).toBeLessThan(A_EDIT);
});
