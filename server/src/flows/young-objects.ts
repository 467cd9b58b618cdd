import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

/** V8's own collector, which it names only in contexts that are made while the flag is set. */
const collector = (): ((how: { type: 'minor' }) => void) => {
  setFlagsFromString('--expose-gc');
  const collect = runInNewContext('gc') as (how: { type: 'minor' }) => void;
  setFlagsFromString('--no-expose-gc');
  return collect;
};
const collect = collector();

/**
 * LG-4: collects young objects now. V8 does so by itself once 16 MB of them have come together, and everybody waits until
 * those in use are moved: 14 to 25 ms after the slices of a large panel, which all stay. Asked for now and then while
 * they are made, it takes a part of that each time.
 */
export const collectYoung = (): void => {
  collect({ type: 'minor' });
};
