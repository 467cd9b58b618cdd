import { describe, expect, test } from 'vitest';
import { STAGES, type PanelView, type Stage } from '../../../shared-types/src/index.ts';
import { nextOnWall } from '../../../web/src/state/next-on-wall.ts';
import { SPECIMEN } from '../../support/specimen.ts';

/** A panel's evaluations in the order in which they were made, named a, b, c by their stages. */
const panel = (...stages: Stage[]): PanelView['evaluations'] =>
  stages.map((stage, i) => {
    const evaluation = 'abc'.charAt(i);
    return { evaluation, title: evaluation, stage, specimen: SPECIMEN };
  });

describe('WA-4: a wall leaves what it shows only when that is over, or when a later one is rated', () => {
  test('every stage of its own beside every stage of the newest', () => {
    const gone = STAGES.flatMap((own) =>
      STAGES.filter((newest) => nextOnWall(panel(own, newest), 'a', own) === 'b').map(
        (newest) => `${own}, ${newest}`,
      ),
    );
    expect(gone).toEqual([
      'preparing, sealed',
      'opened, sealed',
      'locked, preparing',
      'locked, sealed',
      'locked, opened',
      'locked, locked',
      'withdrawn, preparing',
      'withdrawn, sealed',
      'withdrawn, opened',
      'withdrawn, locked',
    ]);
  });

  test('it stays with the newest, whatever became of it, and goes back to none', () => {
    for (const stage of STAGES) expect(nextOnWall(panel('sealed', stage), 'b', stage)).toBeNull();
    expect(nextOnWall([], 'a', 'locked')).toBeNull();
  });

  test('past one that was withdrawn it goes on to the newest that was not', () => {
    expect(nextOnWall(panel('locked', 'sealed', 'withdrawn'), 'a', 'locked')).toBe('b');
    expect(nextOnWall(panel('locked', 'opened', 'sealed'), 'a', 'locked')).toBe('c');
  });

  test('what is being settled is not left for an older one that is rated still', () => {
    expect(nextOnWall(panel('sealed', 'opened'), 'b', 'opened')).toBeNull();
  });
});
