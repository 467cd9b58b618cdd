import { fromCardan } from '../../server/src/measures/cardan.ts';
import type { MotionMapping } from '../../shared-types/src/index.ts';

const QUATERNION = ['w', 'x', 'y', 'z'];

/** The mapping of the files that `motionFile` invents. */
export const MOTION_MAPPING: MotionMapping = {
  delimiter: ',',
  decimal: '.',
  rate: 100,
  order: 'zxy',
  planes: { flexion: 'z', sideBending: 'x', rotation: 'y' },
  tracked: 'head',
  time: { column: 'time', unit: 's' },
  head: { kind: 'quaternion', columns: QUATERNION.map((part) => `head ${part}`) },
  torso: { kind: 'quaternion', columns: QUATERNION.map((part) => `torso ${part}`) },
};

/** Lines of an invented series: a head that nods, tilts and turns slowly on a torso that sways. */
export function* motionFile(rows: number): Generator<string> {
  yield `time,${[...MOTION_MAPPING.head.columns, ...(MOTION_MAPPING.torso?.columns ?? [])].join(',')}\n`;
  for (let i = 0; i < rows; i += 1) {
    const t = i / 100;
    const torso = fromCardan('zxy', [0.05 * Math.sin(t / 7), 0.03 * Math.sin(t / 5), 0]);
    const head = fromCardan('zxy', [
      0.05 * Math.sin(t / 7) + 0.2 * Math.sin(t / 3),
      0.03 * Math.sin(t / 5) + 0.1 * Math.sin(t / 2),
      0.15 * Math.sin(t / 11),
    ]);
    const cells = [head, torso].flatMap((q) => [q.w, q.x, q.y, q.z]);
    yield `${t.toFixed(2)},${cells.map((c) => c.toFixed(6)).join(',')}\n`;
  }
}
