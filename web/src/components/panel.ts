import type { PanelView, Specimen } from '@unhindered/shared-types';

/** A specimen form with nothing in it. */
export const emptySpecimen = (): Specimen => ({
  kind: 'helmet',
  sport: '',
  maker: '',
  model: '',
  year: '',
  size: '',
  serial: '',
  condition: '',
  fastening: '',
  suppliedBy: '',
});

/** Where a person goes in an evaluation, by role. */
export const placeOf = (role: PanelView['me']['role'], evaluation: string): string => {
  const at = `/evaluation/${evaluation}`;
  if (role === 'moderator') return `${at}/desk`;
  if (role === 'reviewer') return `${at}/sheet`;
  if (role === 'recorder' || role === 'operator') return `${at}/trials`;
  return role === 'wall' ? `${at}/wall` : at;
};
