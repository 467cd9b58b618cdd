import type { Specimen } from '@unhindered/shared-types';

/** What one reviewer answers in a planted dispute: a step, `n.o.` for not observed, `abst` for abstained. */
type Planted = number | 'n.o.' | 'abst';

/** One invented evaluation. `ease` is the settled mean of each section on an inverted 0 to 5; null where none applies. */
export interface DemoPiece {
  id: string;
  season: 2023 | 2024 | 2025;
  title: string;
  protocolVersion: '1.0.0' | '1.1.0';
  specimen: Specimen;
  ease: readonly (number | null)[];
  /** Settled values that are not free. */
  fixed: Readonly<Record<string, number>>;
  /** Answers of reviewers 1 to 5. */
  planted: Readonly<Record<string, readonly Planted[]>>;
  /** How a planted dispute ended; `value` null leaves it open. */
  settlements: Readonly<Record<string, { value: number | null; reason: string }>>;
  /** Proposed critical failures: by whom (1 to 5), confirmed or not, and why. */
  gates: Readonly<
    Record<string, { by: readonly number[]; proposal: string; confirm: boolean; reason: string }>
  >;
  /** The piece that this one is judged again after, and whether it takes its place. */
  again?: { id: string; supersedes: string | null };
}

const specimen = (
  kind: Specimen['kind'],
  sport: string,
  maker: string,
  model: string,
  fastening: string,
  more: Partial<Specimen> = {},
): Specimen => ({
  kind,
  sport,
  maker: `${maker} (invented)`,
  model,
  year: '',
  size: 'L',
  serial: '',
  condition: 'new',
  fastening,
  suppliedBy: 'The panel (invented)',
  ...more,
});

const plain = {
  protocolVersion: '1.0.0' as const,
  fixed: {},
  planted: {},
  settlements: {},
  gates: {},
};

const HERON_1 = specimen(
  'helmet',
  'gridiron',
  'Larkmoor Guardworks',
  'Heron 1',
  'four loop straps, rusted screws',
  { condition: 'used, five seasons', year: '2018' },
);
const MEADOW_ONE = specimen(
  'helmet',
  'lacrosse',
  'Brackenholt',
  'Meadow One',
  'one-piece guard, three screws',
);

/** The invented catalogue: three seasons, in the order in which they were judged. */
export const DEMO_PIECES: readonly DemoPiece[] = [
  {
    ...plain,
    id: 'd3',
    season: 2023,
    title: 'Ottersby Tarn (invented)',
    specimen: specimen(
      'pads',
      'gridiron',
      'Ottersby Athletic',
      'Tarn',
      'laced front, two strap pairs',
      { condition: 'used, one season' },
    ),
    ease: [3.8, 3.5, 2.3, 4.4, null, 2.4, 3.9, 2.9, 3.6, 3.9],
    fixed: { 'chest-access': 3 },
    gates: {
      'chest-access': {
        by: [2],
        proposal: 'The laces held one attempt past the limit.',
        confirm: false,
        reason: 'One of three attempts went past the limit; the rule asks for two.',
      },
    },
  },
  {
    ...plain,
    id: 'd2',
    season: 2023,
    title: 'Larkmoor Heron 1, five seasons old (invented)',
    specimen: HERON_1,
    ease: [3.9, 3.6, 4.4, 3.4, 1.3, 2.9, 2.8, 3.4, 3.3, 1.2],
    fixed: { 'fm-tool-first': 5 },
    planted: { 'fm-tool-first': [5, 5, 5, 'abst', 5] },
    gates: {
      'fm-tool-first': {
        by: [1, 2, 3],
        proposal: 'The mask was still attached when the time ran out.',
        confirm: true,
        reason: 'In two of three attempts the mask was still attached at 180 seconds.',
      },
    },
  },
  {
    ...plain,
    id: 'd5',
    season: 2023,
    title: 'Quillfen Floe Cage (invented)',
    specimen: specimen(
      'helmet',
      'ice hockey',
      'Quillfen Ice',
      'Floe Cage',
      'two J-clips, two screws',
    ),
    ease: [3.6, 3.7, 4.7, 3.7, 3.6, 3.4, 3.3, 3.3, 3.7, 3.2],
    fixed: { 'inline-hold': 1 },
    planted: { 'inline-hold': [1, 1, 'n.o.', 3, 1] },
    settlements: {
      'inline-hold': {
        value: 1,
        reason:
          'Reviewer D held by the cage; held by the shell as the protocol says, it is slight.',
      },
    },
  },
  {
    ...plain,
    id: 'd1',
    season: 2024,
    title: 'Larkmoor Heron 3 (invented)',
    specimen: specimen(
      'helmet',
      'gridiron',
      'Larkmoor Guardworks',
      'Heron 3',
      'two side quick-release pins, two top screws',
      { year: '2024' },
    ),
    ease: [4.3, 4.0, 4.6, 4.0, 4.2, 3.5, 3.7, 3.6, 4.0, 4.6],
  },
  {
    ...plain,
    id: 'd4',
    season: 2024,
    title: 'Ottersby Tarn Split (invented)',
    specimen: specimen(
      'pads',
      'gridiron',
      'Ottersby Athletic',
      'Tarn Split',
      'pull-cord split front and back',
    ),
    ease: [3.7, 3.6, 3.9, 4.4, null, 4.2, 3.9, 3.3, 4.0, 3.4],
    fixed: { 'torso-removal': 1 },
    planted: { 'torso-removal': [0, 0, 1, 3, 1] },
    settlements: {
      'torso-removal': {
        value: 1,
        reason:
          'Reviewer D pulled the cords in the wrong order; in the marked order it was slight.',
      },
    },
  },
  {
    ...plain,
    id: 'd6',
    season: 2024,
    title: 'Quillfen Floe Vest (invented)',
    specimen: specimen(
      'pads',
      'ice hockey',
      'Quillfen Ice',
      'Floe Vest',
      'two hook-and-loop straps',
    ),
    ease: [4.2, 4.1, 3.6, 4.7, null, 4.0, 4.4, 4.0, 4.3, 4.1],
  },
  {
    ...plain,
    id: 'd2b',
    season: 2024,
    title: 'Larkmoor Heron 1, new hardware (invented)',
    specimen: { ...HERON_1, fastening: 'four loop straps, new stainless screws' },
    ease: [3.9, 3.6, 4.4, 3.4, 3.7, 2.9, 2.8, 3.4, 3.3, 3.0],
    fixed: { 'fm-tool-first': 1 },
    planted: { 'fm-tool-first': [1, 1, 1, 'abst', 1] },
    again: {
      id: 'd2',
      supersedes: 'Judged again with new screws; the rusted ones are not fitted any more.',
    },
  },
  {
    ...plain,
    id: 'd7',
    season: 2025,
    title: 'Brackenholt Meadow One (invented)',
    specimen: MEADOW_ONE,
    ease: [3.2, 3.1, 4.2, 1.8, 2.2, 2.6, 1.1, 2.4, 3.0, 2.9],
    fixed: { 'airway-open': 3, 'bvm-ventilation': 5 },
    planted: { 'airway-open': [4, 3, 3, 1, 4] },
    settlements: {
      'airway-open': {
        value: null,
        reason:
          'Reviewer D scored with the guard off and stands by it; the panel found no consensus.',
      },
    },
    gates: {
      'bvm-ventilation': {
        by: [2, 3],
        proposal: 'Most breaths did not reach the chest past the guard.',
        confirm: true,
        reason: 'Fourteen of forty-eight breaths reached the volume asked for.',
      },
    },
  },
  {
    ...plain,
    id: 'd8',
    season: 2025,
    title: 'Brackenholt Meadow Kit R (invented)',
    specimen: specimen(
      'combined',
      'lacrosse',
      'Brackenholt',
      'Meadow Kit R',
      'hinged guard with one key, zip pads',
    ),
    ease: [3.9, 3.6, 3.8, 4.1, 4.4, 3.9, 3.9, 3.6, 4.1, 3.8],
    fixed: { 'fm-tool-first': 0.5 },
    planted: { 'fm-tool-first': [0, 0, 1, 'abst', 3] },
    settlements: {
      'fm-tool-first': {
        value: 0.5,
        reason:
          'Reviewer E had been given the wrong key; with the right one the guard swings away.',
      },
    },
  },
  {
    ...plain,
    id: 'd7b',
    season: 2025,
    title: 'Brackenholt Meadow One, hinged guard (invented)',
    protocolVersion: '1.1.0',
    specimen: { ...MEADOW_ONE, fastening: 'hinged guard, one key', year: '2025' },
    ease: [3.2, 3.1, 4.2, 3.4, 3.8, 2.9, 3.4, 2.9, 3.2, 3.3],
    again: { id: 'd7', supersedes: null },
  },
];
