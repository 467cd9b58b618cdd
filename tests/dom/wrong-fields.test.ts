import { cleanup, fireEvent, render, screen } from '@testing-library/svelte';
import { tick } from 'svelte';
import { afterEach, expect, test, vi } from 'vitest';
import type { SeatSlice } from '../../shared-types/src/index.ts';
import FitForm from '../../web/src/components/FitForm.svelte';
import IncidentBox from '../../web/src/components/IncidentBox.svelte';
import { fitDraft, readFit } from '../../web/src/state/fit-draft.ts';
import { readSpecimen, specimenDraft } from '../../web/src/state/specimen-draft.ts';

afterEach(cleanup);

const seats = [{ seat: 'st_bo', name: 'Bo Lind (invented)' }] as unknown as SeatSlice[];

/** The field that has the focus, what it is called wrong for, and how many others are. */
const told = (): [string, string, number] => {
  const field = document.activeElement as HTMLInputElement;
  const label = field.labels?.[0]?.textContent ?? '';
  const ids = field.getAttribute('aria-describedby')?.split(' ') ?? [];
  const said = ids.map((id) => document.getElementById(id)?.textContent ?? '').join('');
  return [label.trim(), said, document.querySelectorAll('[aria-invalid="true"]').length];
};

test('FO-1: a fit check that cannot be kept goes to the field that is wrong, which says why', async () => {
  const onrecord = vi.fn();
  const props = { seats, me: 'st_bo', last: undefined, correcting: null, onrecord };
  render(FitForm, { ...props, oncancel: () => undefined });
  const press = async (): Promise<void> => {
    await fireEvent.click(screen.getByRole('button', { name: 'Record as passed' }));
    await tick();
  };
  const type = (label: RegExp, value: string) =>
    fireEvent.input(screen.getByLabelText(label), { target: { value } });
  await press();
  expect(told()).toEqual([
    expect.stringMatching(/instructions/iu),
    'Name the maker’s instructions.',
    1,
  ]);
  await type(/instructions/iu, 'Invented leaflet');
  await press();
  expect(told()[1]).toBe('Each step needs its words.');
  await type(/^Step 1/u, 'Chin strap closed');
  await press();
  expect(told()[1]).toMatch(/capital letters and a digit/u);
  await type(/code/iu, 'M1');
  await type(/minutes/iu, 'soon');
  await press();
  expect(told()[1]).toMatch(/^Time: minutes/u);
  expect(onrecord).not.toHaveBeenCalled();
  await type(/minutes/iu, '1,5');
  await press();
  expect(onrecord).toHaveBeenCalledOnce();
  expect(document.querySelectorAll('[aria-invalid="true"]')).toHaveLength(0);
});

test('FO-1: a note of an incident goes to its first missing part, a choice to its first answer', async () => {
  const props = { incidents: [], caution: '', tasks: [], trials: [], seats, hidden: false };
  render(IncidentBox, { ...props, closed: false, onnote: () => Promise.resolve(true) });
  const keep = async (): Promise<void> => {
    await fireEvent.submit(document.querySelector('form') ?? document);
    await tick();
  };
  await keep();
  expect(told()[0]).toBe('What happened');
  await fireEvent.input(screen.getByLabelText('What happened'), { target: { value: 'A slip.' } });
  await keep();
  expect(told().slice(0, 2)).toEqual(['What was done', 'Say what was done.']);
  await fireEvent.input(screen.getByLabelText('What was done'), { target: { value: 'Cooled.' } });
  await keep();
  const group = screen.getByRole('group');
  expect(group.dataset['wrong']).toBe('true');
  expect(group.textContent).toContain('Say whether medical direction was informed.');
  expect(document.activeElement).toBe(group.querySelector('input'));
});

test('FO-1: what is wrong with a specimen or a fit check names its field, of a line its place', () => {
  const named = { ...specimenDraft(), sport: 'Hockey', maker: 'Invented', model: 'One' };
  const line = { kind: 'screw', material: '', count: '2', condition: '' };
  const at = (draft: Partial<typeof named>): unknown => {
    const read = readSpecimen({ ...named, ...draft });
    return 'fault' in read ? read.at : 'sound';
  };
  expect([
    at({}),
    at({ maker: ' ' }),
    at({ kind: 'combined' }),
    at({ made: 'spring' }),
    at({ mass: '1.5' }),
    at({ hardware: [line, { ...line, kind: ' ' }] }),
    at({ hardware: [{ ...line, count: 'two' }] }),
  ]).toEqual(['sound', 'maker', 'pieces', 'made', 'mass', 'h1-kind', 'h0-count']);
  const step = { what: 'Closed', result: 'met' as const, remark: '' };
  const fit = { ...fitDraft('st_bo'), title: 'Leaflet', code: 'm1', steps: [step] };
  const unmet = [step, { ...step, result: 'not-met' as const }];
  expect(readFit({ ...fit, outcome: 'passed', steps: unmet }).wrong?.at).toBe('s1-result');
  expect(readFit({ ...fit, outcome: 'failed', steps: unmet }).wrong).toBeUndefined();
});
