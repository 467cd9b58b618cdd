import { describe, expect, test } from 'vitest';
import * as v from 'valibot';
import { previewSeries } from '../../../shared-types/src/index.ts';
import { seriesQuestion } from '../../../server/src/measures/series-question.ts';
import {
  checkSeries,
  chosenParts,
  draftAgain,
  draftFrom,
  type SeriesDraft,
} from '../../../web/src/state/series-draft.ts';
import { roleColumns } from '../../../web/src/state/series-guess.ts';
import { keepSeriesDraft, readSeriesDraft } from '../../../web/src/state/series-kept.ts';
import { words } from '../../../web/src/words/series.ts';
import { manikinFile } from '../../support/manikin-file.ts';
import { MOTION_MAPPING, motionFile } from '../../support/motion-file.ts';

const MOTION = previewSeries([...motionFile(40)].join(''));
const MANIKIN = previewSeries(manikinFile());
const said: Partial<SeriesDraft> = {
  tracked: 'head',
  axes: { flexion: 'z', sideBending: 'x', rotation: 'y' },
};

describe('guesses from the headings', () => {
  test.each([
    ['Head_qW,Head_qX,Head_qY,Head_qZ', 'quaternion', ''],
    ['helmet.w,helmet.x,helmet.y,helmet.z', 'quaternion', ''],
    ['HeadR11,HeadR12,HeadR13,HeadR21,HeadR22,HeadR23,HeadR31,HeadR32,HeadR33', 'matrix', ''],
    ['Head flexion (deg),Head lateral bending (deg),Head rotation (deg)', 'cardan', 'deg'],
    ['Head pitch rad,Head roll rad,Head yaw rad', 'cardan', 'rad'],
    ['q_w,q_x,q_y,q_z', 'quaternion', ''],
  ])('%s is %s', (headings, kind, unit) => {
    const columns = headings.split(',');
    expect(roleColumns(['time', ...columns]).head).toEqual({ kind, columns, unit });
  });

  test('positions are taken for no orientation, and a body without one is left open', () => {
    expect(roleColumns(['t', 'Head x', 'Head y', 'Head z']).head).toBeUndefined();
    expect(roleColumns(['t', 'Head w', 'Head x', 'Head y']).head).toBeUndefined();
    expect(roleColumns(['time', 'a', 'b']).head).toBeUndefined();
  });

  test('a motion file is told from a manikin’s; what only somebody there knows stays open', () => {
    const motion = draftFrom(MOTION);
    expect(motion).toMatchObject({ kind: 'motion', time: 'time', timeUnit: 's', rate: '100' });
    expect(motion.torso.columns).toEqual(MOTION_MAPPING.torso?.columns);
    expect(motion).toMatchObject({ tracked: '', torsoTracked: true, axes: { flexion: '' } });
    expect(draftFrom(MANIKIN)).toMatchObject({
      kind: 'manikin',
      delimiter: ';',
      decimal: ',',
      time: 'Time (s)',
      // Steps of half a second and more are no milliseconds here.
      timeUnit: 's',
      depth: 'Compression depth (mm)',
      depthUnit: 'mm',
      released: 'Full release',
      success: 'Breath success',
      volume: 'Volume (ml)',
      volumeUnit: 'ml',
      hand: '',
    });
  });

  test('the unit is the heading’s where it names one', () => {
    const text = (heading: string): string =>
      `${heading},head w,head x,head y,head z\n${[0, 1, 2, 3].map((t) => `${String(t)},1,0,0,0\n`).join('')}`;
    expect(draftFrom(previewSeries(text('time [s]')))).toMatchObject({ timeUnit: 's', rate: '1' });
    expect(draftFrom(previewSeries(text('t_ms')))).toMatchObject({ timeUnit: 'ms', rate: '1000' });
    expect(draftFrom(previewSeries(text('time')))).toMatchObject({ timeUnit: 'ms', rate: '1000' });
  });
});

describe('from the choices to the question', () => {
  test('is the mapping that the server reads by, once everything is said', () => {
    const { question, faults } = checkSeries({ ...draftFrom(MOTION), ...said });
    expect(faults).toEqual({});
    expect(question).toEqual({ kind: 'motion', mapping: MOTION_MAPPING });
    const manikin = checkSeries({ ...draftFrom(MANIKIN), from: '0,5', to: '40' }).question;
    expect(manikin).toMatchObject({ kind: 'manikin', span: { from: 0.5, to: 40 } });
    for (const q of [question, manikin]) {
      expect(v.parse(seriesQuestion, JSON.stringify(q))).toEqual(q);
    }
  });

  test('the order of the turns follows the planes as they are ordered', () => {
    const turns = 'rotation flexion sideBending';
    expect(checkSeries({ ...draftFrom(MOTION), ...said, turns }).question).toMatchObject({
      mapping: { order: 'yzx' },
    });
  });

  test('says what is missing by field', () => {
    const open = checkSeries(draftFrom(MOTION));
    expect(open).toEqual({ faults: { tracked: 'choose', axes: 'axes' }, question: null });
    const twice = { flexion: 'z', sideBending: 'z', rotation: 'y' } as const;
    expect(checkSeries({ ...draftFrom(MOTION), ...said, axes: twice }).faults.axes).toBe('axes');
    for (const rate of ['', '0', '-5', 'fast', '100001']) {
      expect(checkSeries({ ...draftFrom(MOTION), ...said, rate }).faults).toEqual({ rate: 'rate' });
    }
    const angles = { kind: 'cardan', columns: ['a', 'b', 'c'], order: '', unit: 'deg' } as const;
    const head = { ...angles, columns: [...angles.columns] };
    expect(checkSeries({ ...draftFrom(MOTION), ...said, head }).faults).toEqual({ head: 'order' });
    const short = { ...head, kind: 'matrix' as const };
    expect(checkSeries({ ...draftFrom(MOTION), ...said, head: short }).faults.head).toBe('columns');
    const manikin = draftFrom(MANIKIN);
    expect(checkSeries({ ...manikin, time: '' }).faults.time).toBe('time');
    expect(checkSeries({ ...manikin, from: '9', to: '9' }).faults.span).toBe('span');
    expect(checkSeries({ ...manikin, from: 'soon' }).faults.span).toBe('number');
    const none = { depth: '', released: '', volume: '', success: '' };
    expect(checkSeries({ ...manikin, ...none }).faults.columns).toBe('nothing');
    expect(checkSeries({ ...manikin, delimiter: ',', decimal: ',' }).faults.decimal).toBe(
      'decimal',
    );
    expect(checkSeries({ ...manikin, kind: '' }).faults).toEqual({ kind: 'choose' });
  });

  test('the first rows say what each chosen column is read as', () => {
    const parts = chosenParts(draftFrom(MOTION), words.series);
    expect(parts.get('time')).toBe('Time');
    expect(parts.get('head w')).toBe('Orientation of the head: w (scalar)');
    expect(parts.size).toBe(9);
    expect(chosenParts(draftFrom(MANIKIN), words.series).get('Volume (ml)')).toBe(
      'Volume of a breath',
    );
  });
});

describe('SR-7: what was chosen once is not asked again', () => {
  const earlier: SeriesDraft = { ...draftFrom(MOTION), ...said, rate: '120', from: '3' };

  test('a file with the same columns keeps every choice but the stretch of the trial', () => {
    expect(draftAgain(earlier, MOTION)).toEqual({ ...earlier, from: '' });
  });

  test('a file with other columns keeps what does not hang on them', () => {
    const other = previewSeries('t,skull w,skull x,skull y,skull z\n0,1,0,0,0\n');
    const again = draftAgain(earlier, other);
    expect(again).toMatchObject({ ...said, kind: 'motion' });
    expect(again.head.columns).toEqual(['skull w', 'skull x', 'skull y', 'skull z']);
    expect(draftAgain(earlier, MANIKIN)).toMatchObject({ kind: 'manikin', decimal: ',' });
  });

  test('outlives a reload, and a broken store is no choice', () => {
    const kept = new Map<string, string>();
    const store = {
      getItem: (key: string) => kept.get(key) ?? null,
      setItem: (key: string, value: string) => void kept.set(key, value),
    } as Storage;
    expect(readSeriesDraft('ev', store)).toBeUndefined();
    keepSeriesDraft('ev', earlier, store);
    expect(readSeriesDraft('ev', store)).toEqual(earlier);
    for (const broken of ['{', '3', '{"head":{}}']) {
      kept.set('series:ev', broken);
      expect(readSeriesDraft('ev', store)).toBeUndefined();
    }
  });
});
