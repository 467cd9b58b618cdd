import { cleanup, fireEvent, render, screen } from '@testing-library/svelte';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { FitSlice, LockSlice, SeatSlice } from '../../shared-types/src/index.ts';
import FitBox from '../../web/src/components/FitBox.svelte';
import LockBox from '../../web/src/components/LockBox.svelte';

const seats = [{ seat: 'st_bo', name: 'Bo Lind (invented)' }] as unknown as SeatSlice[];
const open: LockSlice = { conditions: [], locked: null, preview: null };
const locked = {
  ...open,
  locked: { at: '2026-03-02T09:00:00.000Z', by: 'st_bo' },
} as unknown as LockSlice;
const props = { lock: open, seats, opened: true, endorsed: 0, onjump: () => undefined };
const WORDS = 'Invented: seen by all of us at the bench.';

beforeEach(() => {
  // What jsdom has no dialog for.
  HTMLDialogElement.prototype.showModal = function (this: HTMLDialogElement) {
    this.open = true;
  };
});
afterEach(cleanup);

const write = async (): Promise<HTMLTextAreaElement> => {
  await fireEvent.click(screen.getByRole('button', { name: 'Lock the evaluation' }));
  const area = screen.getByRole<HTMLTextAreaElement>('textbox');
  await fireEvent.input(area, { target: { value: WORDS } });
  return area;
};

test('DK-6: who writes before the lock is told who locked first, keeps the words and can close', async () => {
  const { rerender } = render(LockBox, { ...props, onact: () => Promise.resolve(null) });
  const area = await write();
  await rerender({ lock: locked, opened: false });
  expect(screen.getByRole('alert').textContent).toMatch(
    /^Bo Lind \(invented\) locked the evaluation at .*Your words are still here\.$/u,
  );
  expect(area.isConnected && area.value).toBe(WORDS);
  const go = screen.getByRole<HTMLButtonElement>('button', { name: 'Lock and sign' });
  expect(go.disabled).toBe(true);
  await fireEvent.click(screen.getByRole('button', { name: 'Copy what I wrote' }));
  expect(area.value.slice(area.selectionStart, area.selectionEnd)).toBe(WORDS);
  await screen.findByText(/^Selected\. Copy it with/u);
  await fireEvent.click(screen.getByRole('button', { name: 'Go back' }));
  expect(screen.queryByRole('textbox')).toBeNull();
});

test('DK-6: words are called copied when the browser took them, and not when it refused', async () => {
  const taken: string[] = [];
  const clipboard = {
    writeText: (text: string): Promise<void> =>
      taken.push(text) === 1 ? Promise.resolve() : Promise.reject(new Error('not allowed')),
  };
  vi.stubGlobal('navigator', { clipboard });
  const { rerender } = render(LockBox, { ...props, onact: () => Promise.resolve(null) });
  await write();
  await rerender({ lock: locked, opened: false });
  const copy = screen.getByRole('button', { name: 'Copy what I wrote' });
  await fireEvent.click(copy);
  await screen.findByText('Selected and copied.');
  await fireEvent.click(copy);
  await screen.findByText(/^Selected\. Copy it with/u);
  expect(taken).toEqual([WORDS, WORDS]);
  vi.unstubAllGlobals();
});

test('DK-6: the own lock is no news, and a dialog that was not open does not open', async () => {
  let answer: (value: null) => void = () => undefined;
  const onact = (): Promise<null> => new Promise((resolve) => (answer = resolve));
  const { rerender } = render(LockBox, { ...props, onact });
  await write();
  await fireEvent.click(screen.getByRole('button', { name: 'Lock and sign' }));
  await rerender({ lock: locked, opened: false });
  expect(screen.queryByRole('alert')).toBeNull();
  answer(null);
  await expect.poll(() => screen.queryByRole('textbox')).toBeNull();
  expect(screen.queryByRole('button')).toBeNull();
});

test('DK-6: who writes why to go without a fit check is told that the round was opened, or who was first', async () => {
  const missing: FitSlice = { standing: 'missing', checks: [], overrides: [] };
  const fitProps = { fit: missing, seats, waits: true, over: false, onopen: () => undefined };
  const { rerender } = render(FitBox, { ...fitProps, onoverride: () => Promise.resolve(null) });
  await fireEvent.click(screen.getByRole('button', { name: 'Go without it' }));
  const area = screen.getByRole<HTMLTextAreaElement>('textbox');
  await fireEvent.input(area, { target: { value: WORDS } });
  expect(screen.queryByRole('alert')).toBeNull();
  const by = {
    reason: 'Invented: no spare part here.',
    by: 'st_bo',
    at: '2026-03-02T09:00:00.000Z',
  };
  await rerender({ fit: { ...missing, standing: 'overridden', overrides: [by] } });
  expect(screen.getByRole('alert').textContent).toMatch(/^Bo Lind \(invented\) gave a reason/u);
  await rerender({ waits: false });
  expect(screen.getByRole('alert').textContent).toMatch(/^The first round was opened meanwhile\./u);
  await rerender({ over: true });
  expect(screen.getByRole('alert').textContent).toMatch(/^The evaluation ended meanwhile\./u);
  expect(area.isConnected && area.value).toBe(WORDS);
});
