import { describe, expect, test } from 'vitest';
import type { CardanOrder, Planes } from '../../shared-types/src/index.ts';
import { fromCardan, toCardan } from '../../server/src/measures/cardan.ts';
import { headMotion } from '../../server/src/measures/head-motion.ts';
import {
  compose,
  fromMatrix,
  helicalAngle,
  inverse,
  type Rotation,
} from '../../server/src/measures/rotation.ts';
import { must } from '../support/expect-figure.ts';
import { near, reference } from '../support/reference.ts';

interface Case {
  order: CardanOrder;
  head: [number, number, number, number][];
  torso: number[][];
  torso_angles: [number, number, number][];
  angles: [number, number, number][];
  range: number[];
  change: number[];
  helical: number[];
  excursion: number;
}

const { cases } = reference<{ cases: Case[] }>('measures-rotations');
const degrees = (radians: number): number => (radians * 180) / Math.PI;
const quaternion = ([w, x, y, z]: [number, number, number, number]): Rotation => ({ w, x, y, z });
const known = (q: Rotation | undefined): Rotation => q ?? expect.fail('no rotation');
const NAMES = ['flexion', 'sideBending', 'rotation'] as const;

/** Three names for the axes, in the order of the turns. */
const planesOf = (order: string): Planes =>
  Object.fromEntries(NAMES.map((name, i) => [name, order[i]])) as Planes;

describe('rotations against scipy.spatial.transform.Rotation', () => {
  test.each(cases)('relative motion, order $order', (c) => {
    const heads = c.head.map(quaternion);
    const torsos = c.torso.map((m) => known(fromMatrix(m)));
    const relative = heads.map((h, i) => compose(inverse(known(torsos[i])), h));
    for (const [i, pose] of relative.entries()) {
      const moved = compose(inverse(known(relative[0])), pose);
      near(degrees(helicalAngle(moved)), c.helical[i], `helical ${String(i)}`);
      const angles = toCardan(c.order, moved) ?? expect.fail('gimbal');
      angles.forEach((a, k) =>
        near(degrees(a), c.angles[i]?.[k], `angle ${String(k)} of ${String(i)}`),
      );
    }
  });

  test.each(cases)('ranges, changes and the largest excursion, order $order', (c) => {
    const motion = headMotion({
      rate: 100,
      order: c.order,
      planes: planesOf(c.order),
      tracked: 'head',
    });
    for (const [i, q] of c.head.entries()) {
      const torso = known(fromMatrix(c.torso[i] ?? []));
      // A sensor may flip the sign of its quaternion at any sample.
      const [w, x, y, z] = i % 3 === 0 ? q.map((part) => -part) : q;
      motion.add({ seconds: i / 100, head: quaternion([w ?? 0, x ?? 0, y ?? 0, z ?? 0]), torso });
    }
    const found = motion.end();
    expect(found).toMatchObject({ valid: true, missing: 0, notes: [] });
    NAMES.forEach((name, k) => {
      near(must(found.planes)[name].range, c.range[k], `range ${name}`);
      near(must(found.planes)[name].change, c.change[k], `change ${name}`);
    });
    near(must(found.helical).degrees, Math.max(...c.helical), 'helical maximum');
    near(must(found.excursion).degrees, c.excursion, 'largest excursion');
    near(must(found.rss), Math.hypot(...c.range), 'root of squared ranges');
  });

  test.each(cases)('Cardan angles are read as SciPy writes them, order $order', (c) => {
    for (const [i, angles] of c.torso_angles.entries()) {
      const found = fromCardan(c.order, angles);
      const error = helicalAngle(compose(inverse(found), known(fromMatrix(c.torso[i] ?? []))));
      near(error, 0, `sample ${String(i)}`, 1e-12);
    }
  });
});
