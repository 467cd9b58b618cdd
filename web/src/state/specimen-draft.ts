import { hardwareWords, type MeAnswer, type SpecimenDetails } from '@unhindered/shared-types';
import { words } from '../words/specimens.ts';

type Seat = MeAnswer['seats'][number];

/** A specimen as it is typed: every number a text. */
export interface SpecimenDraft extends Omit<SpecimenDetails, 'made' | 'massG' | 'hardware'> {
  made: string;
  mass: string;
  hardware: { kind: string; material: string; count: string; condition: string }[];
}

/** A draft with nothing in it, or with what the register holds. */
export const specimenDraft = (details?: SpecimenDetails): SpecimenDraft => {
  if (details) {
    const { made, massG, hardware, ...rest } = details;
    return {
      ...rest,
      pieces: [...rest.pieces],
      made: made ?? '',
      mass: massG === null ? '' : String(massG),
      hardware: hardware.map((h) => ({ ...h, count: String(h.count) })),
    };
  }
  const empty = { year: '', size: '', serial: '', condition: '', ageStated: '', suppliedBy: '' };
  const named = { kind: 'helmet' as const, sport: '', maker: '', model: '', notes: '' };
  return { ...named, ...empty, made: '', mass: '', hardware: [], pieces: [] };
};

/** A whole number in a range; null for anything else. */
const whole = (text: string, from: number, to: number): number | null => {
  const n = /^\d{1,6}$/u.test(text.trim()) ? Number(text) : Number.NaN;
  return n >= from && n <= to ? n : null;
};

/** What is wrong, in words with the way out, and the field it is wrong at: of hardware, its line's and column's. */
export interface SpecimenFault {
  fault: string;
  at: 'sport' | 'maker' | 'model' | 'made' | 'mass' | 'pieces' | `h${number}-${'kind' | 'count'}`;
}

/** What no specimen goes without. */
export const NEEDED = ['sport', 'maker', 'model'] as const;

/** What the draft says as the register takes it, or the first fault. */
export const readSpecimen = (
  draft: SpecimenDraft,
): { details: SpecimenDetails } | SpecimenFault => {
  const { faults } = words.specimens;
  const { made, mass, hardware, ...rest } = draft;
  const unsaid = NEEDED.find((field) => rest[field].trim() === '');
  if (unsaid) return { fault: faults.needed, at: unsaid };
  const pieces = rest.kind === 'combined' ? [...rest.pieces] : [];
  if (rest.kind === 'combined' && pieces.length < 2) return { fault: faults.pieces, at: 'pieces' };
  if (made !== '' && !/^\d{4}-\d{2}-\d{2}$/u.test(made)) return { fault: faults.made, at: 'made' };
  const massG = mass.trim() === '' ? null : whole(mass, 1, 100_000);
  if (mass.trim() !== '' && massG === null) return { fault: faults.mass, at: 'mass' };
  const rows = hardware.map((h) => ({ ...h, count: whole(h.count, 1, 200) ?? 0 }));
  const bad = rows.findIndex((h) => h.kind.trim() === '' || h.count === 0);
  if (bad >= 0) {
    const column = rows[bad]?.kind.trim() === '' ? 'kind' : 'count';
    return { fault: faults.hardware, at: `h${bad}-${column}` };
  }
  return { details: { ...rest, pieces, made: made === '' ? null : made, massG, hardware: rows } };
};

/** What differs between two descriptions, in words: the name of each field and what stood there. */
export const changesOf = (
  old: SpecimenDetails,
  now: SpecimenDetails,
): { what: string; old: string }[] => {
  const names: Record<keyof SpecimenDetails, string> = {
    ...words.panel.fields,
    ...words.specimens.fields,
    massG: words.specimens.fields.mass,
    hardware: words.specimens.hardware,
    pieces: words.specimens.pieces,
  };
  const text = (details: SpecimenDetails, key: keyof SpecimenDetails): string => {
    if (key === 'hardware') return details.hardware.map(hardwareWords).join('; ');
    if (key === 'pieces') return details.pieces.join(', ');
    return String(details[key] ?? '');
  };
  return (Object.keys(now) as (keyof SpecimenDetails)[])
    .filter((key) => text(old, key) !== text(now, key))
    .map((key) => ({ what: names[key], old: text(old, key) || words.specimen.notRecorded }));
};

/** The seat from whose panel somebody writes to the register; undefined for who only looks. */
export const registrarSeat = (seats: readonly Seat[] | undefined): Seat | undefined =>
  seats?.find((s) => s.role === 'moderator' || s.role === 'recorder');
