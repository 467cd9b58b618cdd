import { cleanup, render, screen } from '@testing-library/svelte';
import { afterEach, expect, test } from 'vitest';
import type { AccessAnswer } from '../../shared-types/src/index.ts';
import BareLines from '../../web/src/components/BareLines.svelte';
import type { Lettered } from '../../web/src/components/compared.ts';

afterEach(cleanup);

const row = (evaluation: string, letter: string): Lettered =>
  ({
    evaluation,
    letter,
    specimen: { model: `Heron ${letter}` },
    protocol: {},
  }) as unknown as Lettered;
const rows = [row('ev_a', 'A'), row('ev_b', 'B'), row('ev_c', 'C')];
const roll = { task: 't', title: 'Log roll', times: 1.84 };
const timed = { ...roll, kind: 'unpaired' as const, n: { equipment: 1, reference: 6 } };
const paired = { ...roll, kind: 'paired' as const, n: { equipment: 3, reference: 3 } };

test('CC-5: side by side each piece timed without the equipment too says its multiple and who stands behind it', () => {
  const found: AccessAnswer[] = [
    { evaluation: 'ev_a', ladders: [], bare: [timed] },
    { evaluation: 'ev_b', ladders: [], bare: [paired] },
    { evaluation: 'ev_c', ladders: [], bare: [] },
  ];
  render(BareLines, { rows, found });
  const said = screen.getAllByTestId('bare-multiples').map((p) => p.textContent.trim());
  expect(said.map((s) => s.replaceAll(/\s+/gu, ' '))).toEqual([
    'A Heron A: Log roll 1.8 times (1 trial with it, 6 without, by different people)',
    'B Heron B: Log roll 1.8 times (3 operators, each with it and without)',
  ]);
});

test('where nothing was timed without the equipment, nothing is said of multiples', () => {
  const { container } = render(BareLines, { rows, found: [] });
  expect(container.textContent.trim()).toBe('');
});
