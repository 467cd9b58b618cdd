import type { PanelCommand } from '../../shared-types/src/index.ts';

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

/** Nothing to declare. */
export const NO_TIES: PanelCommand = {
  type: 'declare-interest',
  declaration: { ties: [], familiarity: 'none' },
};
