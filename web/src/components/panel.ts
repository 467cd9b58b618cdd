import type { PanelView } from '@unhindered/shared-types';

/** Where a person goes in an evaluation, by role. */
export const placeOf = (role: PanelView['me']['role'], evaluation: string): string => {
  const at = `/evaluation/${evaluation}`;
  if (role === 'moderator') return `${at}/desk`;
  if (role === 'reviewer') return `${at}/sheet`;
  if (role === 'recorder' || role === 'operator') return `${at}/trials`;
  return role === 'wall' ? `${at}/wall` : at;
};
