import { expect, test } from 'vitest';
import { buildRecord } from '../../../server/src/report/build-record.ts';
import { lockedBundle } from '../../support/locked-bundle.ts';

const sectionOf = (bytes: Uint8Array, id: string): string =>
  JSON.stringify(buildRecord(bytes).sections.find((s) => s.id === id));

test('FI-6: the record prints the registered piece, what was corrected, and the check with its steps', async () => {
  const { bytes } = await lockedBundle(undefined, undefined, true);
  const piece = sectionOf(bytes, 'specimen');
  for (const words of [
    'HX-0417',
    'made 2025-03-10',
    '2150 g',
    '4 × mask screw, stainless steel (clean)',
    'Two digits were exchanged.',
    'The piece passed its fit check by the maker’s instructions.',
    'Fit check 1, passed: Fitting sheet of the maker (invented), 2',
    'No gap under the front edge',
    'The model is used to another piece',
    'on model M1',
  ]) {
    expect(piece).toContain(words);
  }
});

test('FI-6: an override stands in the record and among the deviations', async () => {
  const reason = 'The maker gives no instructions for this size.';
  const { bytes } = await lockedBundle(undefined, undefined, false, reason);
  expect(sectionOf(bytes, 'specimen')).toContain(reason);
  expect(sectionOf(bytes, 'deviations')).toContain(
    `allowed to open without a passed fit check: ${reason}`,
  );
});
