import type {
  RecordBlock,
  RecordDocument,
  RecordSectionId,
} from '../../../shared-types/src/index.ts';
import { agreement, agreementFigures } from './agreement.ts';
import { all, readDay, type Day } from './day.ts';
import { course, safety } from './course.ts';
import { compared, evidence, inBoth, orders } from './evidence.ts';
import { endorsements, interests, panel } from './panel.ts';
import { method, piece } from './piece.ts';
import { facts, list, moment, para, table, text, when } from './say.ts';
import { headline, stands, tableOf, type Stand } from './standing.ts';
import { present, median, whole } from './sums.ts';
import { deviations, gates, ratings, settlements, taskPlots } from './talk.ts';
import { meansOf, sensitivity, since, verdict } from './verdict.ts';

/** The last checkpoint: three lines, origin, size and the root of the tree in base64 (C2SP tlog-checkpoint). */
const headOf = (day: Day) => {
  const [origin = '', size = '', root = ''] = (day.bundle.checkpoints.at(-1) ?? '').split('\n');
  return { origin, size, root: Buffer.from(root, 'base64').toString('hex') };
};

const limits = (day: Day, of: readonly Stand[]): RecordBlock[] => {
  const { cautions: c } = day.p;
  const unseen = day.tasks.filter((t) => t.onVideo === 'no').length;
  const trials = day.trials.length;
  return [
    list(
      '',
      text(tableOf(day, of, false).seats.length),
      trials === 0 ? '' : text(trials),
      text(unseen),
    ),
    ...[c.thresholds, c.removal, c.comparison, c.remote, c.skills, c.incident].map((x) => para(x)),
  ];
};

const check = (day: Day): RecordBlock[] => {
  const { bundle, locked } = day;
  const { size, root } = headOf(day);
  const file = text(bundle.log);
  return [
    facts(
      ['', bundle.log],
      ['', text(moment(locked.at), locked.meaning)],
      ['', locked.software],
      ['', text(bundle.origin, size)],
      // The names of the tree and the sum; the head in groups of four signs.
      [text(6962, 256), root.replace(/(.{4})/gu, '$1 ')],
      ['', bundle.vkey],
    ),
    para(),
    list(file, file, file),
    para(),
  ];
};

/** Where each reporting item comes from in the published lists: GRRAS by number, the others by name. */
const AFTER: Record<string, string> = {
  R01: '1',
  R02: '2',
  R03: '3',
  R04: '4 12',
  R05: '5',
  R06: '6',
  R07: '7',
  R08: '8',
  R09: '9',
  R10: '10',
  R11: '11',
  R12: '12',
  R13: '13',
  R14: '14',
  R15: '15',
  R35: '14',
};

/** Numerals of the remarks that have some. */
const remarkOf = (day: Day, id: string): string => {
  const of = orders(day);
  const tasks = inBoth(day);
  if (tasks.length === 0) return '';
  if (id === 'R19') {
    const alone = of.filter((o) => !o.both).length;
    const apart = of.filter(
      (o) => o.both && new Set([...o.days.equipment, ...o.days.reference]).size > 1,
    ).length;
    return alone + apart === 0 ? '' : text(of.length, alone || '', apart || '');
  }
  if (id !== 'R21') return '';
  const kinds = tasks.map((t) => compared(day, t).kind);
  const paired = kinds.filter((k) => k === 'paired').length;
  if (paired === kinds.length) return text(95);
  return kinds.some((k) => k !== 'none') ? text(paired, kinds.length) : '';
};

/** RE-4 says which items are present; here their count, their places and the numbers in their remarks. */
const checklist = (day: Day, record: RecordDocument, order: readonly string[]): RecordBlock[] => {
  const count = (status: string): number =>
    record.checklist.filter((i) => i.status === status).length;
  const rows = record.checklist.map(({ id, place }, n) => [
    [text(`R${String(n + 1).padStart(2, '0')}`)],
    [''],
    [AFTER[id] ?? ''],
    [text(place === null ? '' : order.indexOf(place) + 1, remarkOf(day, id))],
  ]);
  return [
    para(...['present', 'partly', 'absent', 'not-applicable'].map(count)),
    table('', [], rows),
  ];
};

const figures = (day: Day, of: readonly Stand[]): RecordDocument['figures'] => {
  const { value, without } = headline(day, of);
  const f = agreementFigures(day, of);
  const medians = (everyone: boolean): number | undefined => {
    const { cells } = tableOf(day, of, everyone);
    const row = new Map(of.map((t, i) => [t.task.id, cells[i] ?? []]));
    return whole(day.p.sections, (id) => median(present(row.get(id) ?? []))).value;
  };
  const given: [string, number | undefined][] = [
    ['composite', value],
    ...(day.p.endorsement
      ? [['composite-without-endorsements', without.value] as [string, number | undefined]]
      : []),
    ['composite-of-means', meansOf(day, of, false).value],
    ['composite-of-means-with-interests', meansOf(day, of, true).value],
    ['composite-of-medians', medians(false)],
    ['composite-of-medians-with-interests', medians(true)],
    ['alpha-ordinal', f.alpha],
    ['alpha-ordinal-lower', f.limits?.[0]],
    ['alpha-ordinal-upper', f.limits?.[1]],
    ['pairs-within-one', f.close.n === 0 ? undefined : f.close.share],
    ['pairs-exact', f.same.n === 0 ? undefined : f.same.share],
    ['icc-single', f.single],
    ['icc-average', f.average],
    ['ac2-quadratic', f.ac2],
    ['dependability-phi', f.phi],
    ['reviewers-for-phi-80', f.needed],
  ];
  const why = (id: string): string => (id.startsWith('alpha-ordinal-') ? text(8) : '');
  return given.map(([id, x]) => ({
    id,
    value: x === undefined ? { undefinedBecause: why(id) } : { value: String(x) },
  }));
};

/**
 * What a record may say, by its numerals alone: the same sections, blocks, rows and cells, each text holding the numbers
 * that belong there and what is quoted from the bundle, worked out from the bundle a second time. Words that hold no
 * number are left out. Of `record` only the reporting checklist's answers are taken.
 */
export const recount = (bytes: Uint8Array, record: RecordDocument): RecordDocument => {
  const day = readDay(bytes);
  const of = stands(day);
  const mark = when(all(day, 'ratings-imported').length > 0, para());
  const { created, locked, p } = day;
  const sections: [RecordSectionId, RecordBlock[]][] = [
    ['verdict', [...since(day), ...mark, ...verdict(day, of)]],
    ['gates', gates(day, of)],
    ['tasks', [...mark, ...taskPlots(day, of)]],
    ['settlements', settlements(day, of)],
    ['evidence', evidence(day)],
    ['agreement', [...mark, ...agreement(day, of)]],
    ['sensitivity', [...mark, ...sensitivity(day, of)]],
    ['interests', interests(day, of)],
    ['panel', [...panel(day, of), ...endorsements(day, of)]],
    ['specimen', piece(day)],
    ['method', method(day)],
    ['course', course(day)],
    ['safety', safety(day)],
    ['deviations', deviations(day, of)],
    ['limits', limits(day, of)],
    ['ratings', [...mark, ...ratings(day, of)]],
    ['verify', check(day)],
  ];
  const order = [...sections.map(([id]) => id), 'checklist' as const];
  sections.push(['checklist', checklist(day, record, order)]);
  const { maker, model } = created.specimen;
  return {
    format: 'unhindered-record/1',
    language: 'en',
    protocolLanguage: '',
    evaluation: created.evaluation,
    title: created.title,
    subtitle: text(maker, model, p.title, p.version, moment(locked.at)),
    invented: p.invented,
    lockedAt: locked.at,
    root: headOf(day).root,
    software: locked.software,
    sections: sections.map(([id, blocks], i) => ({ id, number: i + 1, title: '', blocks })),
    checklist: record.checklist.map((item, n) => ({
      ...item,
      id: text(`R${String(n + 1).padStart(2, '0')}`),
      item: '',
      after: AFTER[item.id] ?? '',
      remark: remarkOf(day, item.id),
    })),
    figures: figures(day, of),
  };
};
