import { reject, type Rejection } from '@unhindered/shared-types';
import { lookAlike } from '../evaluation/look-alike.ts';
import type { App, LivePanel } from './app.ts';

/** Why a person cannot sit down under a name: somebody who sits there already could be taken for them. */
export const nameFault = async (
  app: App,
  panel: LivePanel,
  name: string,
): Promise<Rejection | undefined> => {
  if (name === '') return reject('bad-input', 'Write your name.', { field: 'name' });
  const people = await app.store.people(panel.id);
  const alike = people.some(
    (p) =>
      p.name !== '' &&
      panel.state.seats.get(p.seat)?.state === 'taken' &&
      panel.state.seats.get(p.seat)?.role !== 'wall' &&
      // Nobody sits on a seat from paper: the person themselves may come to the panel.
      panel.state.seats.get(p.seat)?.paper === null &&
      lookAlike(p.name, name),
  );
  if (!alike) return undefined;
  const message =
    'This name looks like one that is on the panel already. Add an initial or the family name.';
  return reject('bad-input', message, { field: 'name' });
};
