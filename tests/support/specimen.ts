import type { PanelCommand, SpecimenDetails } from '../../shared-types/src/index.ts';

/** An invented helmet. */
export const SPECIMEN = {
  kind: 'helmet' as const,
  sport: 'gridiron',
  maker: 'Larkmoor (invented)',
  model: 'Heron 3',
  year: '',
  size: '',
  serial: '',
  condition: '',
  fastening: '',
  suppliedBy: '',
};

/** The same helmet as the register holds it. */
export const DETAILS: SpecimenDetails = {
  kind: 'helmet',
  sport: 'gridiron',
  maker: 'Larkmoor (invented)',
  model: 'Heron 3',
  year: '2025',
  size: 'L',
  serial: 'HX-0417',
  condition: 'new',
  made: '2025-03-10',
  ageStated: '',
  hardware: [{ kind: 'mask screw', material: 'stainless steel', count: 4, condition: 'clean' }],
  massG: 2150,
  suppliedBy: 'bought',
  notes: '',
  pieces: [],
};

/** Nothing to declare. */
export const NO_TIES: PanelCommand = {
  type: 'declare-interest',
  declaration: { ties: [], familiarity: 'none' },
};
