import {
  done,
  PLAN_TURNS,
  protocolTasks,
  refused,
  type Outcome,
  type PlanAnswer,
  type PlanBody,
  type PlanSize,
  type Protocol,
} from '@unhindered/shared-types';
import { GENERATOR, seededChance } from '../analysis/seeded-chance.ts';
import { dependability, reviewersForPhi } from '../consensus/dependability.ts';
import type { VarianceComponents } from '../consensus/variance-components.ts';
import { ratingTable } from '../evaluation/rating-table.ts';
import { allStandings } from '../evaluation/standing.ts';
import { assignOrders } from '../measures/assign-orders.ts';
import { dayPlan } from '../measures/day-plan.ts';
import { equipmentList } from '../measures/equipment-list.ts';
import { studySizes } from '../measures/study-size.ts';
import type { Session } from '../ports/store.ts';
import { planFiles } from '../report/plan-files.ts';
import { protocolKey, protocolOf, type App } from './app.ts';
import { identityIn } from './sessions.ts';

/** Panel sizes that a table of dependability shows. */
const SHOWN_REVIEWERS = 12;

const fromEvaluation = async (
  app: App,
  evaluation: string,
  wanted: number,
): Promise<Outcome<PlanSize>> => {
  const entry = await app.catalogue.one(app, evaluation);
  const live = entry && (await app.logs.evaluation(evaluation));
  if (!live) {
    return refused(
      'unknown-thing',
      'That evaluation is not in the catalogue: only locked ones are.',
      {
        place: 'size.from.evaluation',
      },
    );
  }
  const { protocol } = protocolOf(app, live.state);
  const table = ratingTable(live.state, protocol, allStandings(live.state, protocol), false);
  const found: VarianceComponents | null = await app.variances.ask(table.cells);
  if (!found) {
    return done({ kind: 'none', why: 'its ratings are too few, or leave no variance to split' });
  }
  const rows = Array.from({ length: SHOWN_REVIEWERS }, (_, i) => {
    const study = dependability(found, i + 1);
    return study ? [{ reviewers: i + 1, phi: study.phi, sem: study.semAbsolute }] : [];
  }).flat();
  const { task, reviewer, residual } = found;
  return done({
    kind: 'evaluation',
    title: entry.title,
    components: { task, reviewer, residual },
    needed: reviewersForPhi(found, wanted) ?? null,
    table: rows,
  });
};

const sizeOf = async (app: App, size: PlanBody['size']): Promise<Outcome<PlanSize | null>> => {
  if (size === null) return done(null);
  const { wanted, from } = size;
  if ('evaluation' in from) return fromEvaluation(app, from.evaluation, wanted);
  const found = studySizes(from.stated, wanted);
  return done(found.ok ? { kind: 'stated', sizes: found.value } : { kind: 'none', why: found.why });
};

/** One condition has no order; two or more get a Williams square. */
const ordersOf = ({ operators, conditions, seed }: PlanBody): PlanAnswer['orders'] => {
  const drawn = { seed, generator: GENERATOR };
  if (conditions.length === 1) {
    const rows = operators.toSorted().map((operator) => ({ operator, row: 0, conditions }));
    const note = 'One condition alone has no order to balance.';
    return { rows, balanced: true, note, ...drawn };
  }
  const found = assignOrders(operators, conditions, seededChance(seed).stream());
  return { rows: found.orders, balanced: found.balanced, note: found.note ?? null, ...drawn };
};

const dayOf = (body: PlanBody, orders: PlanAnswer['orders']): PlanAnswer['day'] => {
  const planned = dayPlan(
    body.tasks.map(({ task, ...rest }) => ({ id: task, ...rest })),
    orders.rows.map(({ operator, conditions }) => ({ id: operator, conditions })),
    body.trials,
    body.rules,
  );
  return planned.ok ? planned.value : { why: planned.why };
};

/** Why a plan cannot be made from a body, with the place in it; undefined when it can. */
const bodyFault = (
  body: PlanBody,
  protocol: Protocol,
): { place: string; why: string } | undefined => {
  const known = new Set(protocolTasks(protocol).map((t) => t.id));
  const strange = body.tasks.findIndex((t) => !known.has(t.task));
  if (strange >= 0) {
    const id = body.tasks[strange]?.task ?? '';
    return {
      place: `tasks.${String(strange)}.task`,
      why: `The protocol has no task "${id}". Take one of its tasks.`,
    };
  }
  const turns =
    body.tasks.length *
    body.operators.length *
    (body.conditions.length * body.trials + body.rules.practice);
  if (turns <= PLAN_TURNS) return undefined;
  return {
    place: 'tasks',
    why: `These are ${String(turns)} turns, and a plan holds ${String(PLAN_TURNS)}. Choose fewer tasks, operators, conditions or trials.`,
  };
};

/**
 * PN-1: a plan is a pure answer to its body: reviewers needed, orders, the day, what to bring. Nothing is stored; the
 * body stands in the address of the page and the seed on its print, so that anybody makes the same plan again.
 * PN-2: for the moderators of the panel: what a locked evaluation's ratings say of panel size is theirs (SE-11).
 */
export const planFor = async (
  app: App,
  session: Session,
  panel: string,
  body: PlanBody,
): Promise<Outcome<PlanAnswer>> => {
  const identity = await identityIn(app, session, panel);
  const seat = identity && (await app.logs.panelNow(panel))?.state.seats.get(identity.seat);
  if (seat?.state !== 'taken') {
    return refused('unknown-thing', 'There is no such panel for you.');
  }
  if (seat.role !== 'moderator') {
    return refused('role-may-not', 'The moderators of a panel plan its day.');
  }
  const published = app.protocols.get(protocolKey(body.protocol));
  if (!published) {
    return refused('unknown-thing', 'There is no such protocol version. Choose one of the list.', {
      place: 'protocol',
    });
  }
  const { protocol } = published;
  const fault = bodyFault(body, protocol);
  if (fault) return refused('bad-input', fault.why, { place: fault.place });
  const size = await sizeOf(app, body.size);
  if (!size.ok) return size;
  const orders = ordersOf(body);
  const answer = {
    size: size.value,
    orders,
    day: dayOf(body, orders),
    equipment: equipmentList(protocol, new Set(body.tasks.map((t) => t.task))),
  };
  const titles = new Map(protocolTasks(protocol).map((t) => [t.id, t.title]));
  return done({ ...answer, files: planFiles(body, answer, titles) });
};
