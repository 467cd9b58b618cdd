import { render, screen } from '@testing-library/svelte';
import { tick } from 'svelte';
import { expect, test, vi } from 'vitest';
import type { Scale, SeatSlice, ShownRating, TaskSlice } from '../../shared-types/src/index.ts';
import OpenedTask from '../../web/src/components/OpenedTask.svelte';

const scale = { min: 0, max: 5, datum: 0, points: [] } as unknown as Scale;
const seats = [{ seat: 'A', letter: 'A', name: '' } as SeatSlice];

/** A task that A alone rated, with a note. */
const noted = (note: string): TaskSlice => {
  const rating = { answer: 'step', step: 2, note, critical: null };
  const rated = { seat: 'A', rating, counted: true } as unknown as ShownRating;
  const two = { value: 2 };
  const figures = { n: 1, median: two, min: two, max: two, flags: [], settled: null };
  return { task: note, ratings: [rated], ...figures } as unknown as TaskSlice;
};

/** Frames are painted when `paint` says so. */
const painting = () => {
  const frames: FrameRequestCallback[] = [];
  vi.stubGlobal('requestAnimationFrame', (then: FrameRequestCallback) => frames.push(then));
  return async (): Promise<void> => {
    for (const frame of frames.splice(0)) frame(0);
    await new Promise((resolve) => setTimeout(resolve));
    await tick();
  };
};

test('the closed table of a task follows once the task is painted, an open one with it', async () => {
  const paint = painting();
  const { rerender } = render(OpenedTask, { slice: noted('first'), scale, seats, me: null });
  await paint();
  expect(screen.getByText('first')).toBeTruthy();
  await rerender({ slice: noted('second') });
  expect(screen.queryByText('second')).toBeNull();
  await paint();
  expect(screen.getByText('second')).toBeTruthy();
  const table = screen.getByRole<HTMLDetailsElement>('group');
  table.open = true;
  table.dispatchEvent(new Event('toggle'));
  await rerender({ slice: noted('third') });
  expect(screen.getByText('third')).toBeTruthy();
  expect(screen.queryByText('second')).toBeNull();
  vi.unstubAllGlobals();
});
