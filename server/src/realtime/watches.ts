import { setImmediate as nextTurn } from 'node:timers/promises';
import type { Socket } from 'socket.io';
import type { Session } from '../ports/store.ts';
import { audienceOf, seesRatings, type Audience } from '../evaluation/visibility.ts';
import type { App, Identity, LiveEvaluation, LivePanel } from '../flows/app.ts';
import { eachInTurns, RATINGS_A_TURN } from '../flows/in-turns.ts';
import { prepareSlices } from '../flows/prepare-slices.ts';
import { evaluationSlices, homeView, ownSlice, panelView, type Presence } from '../flows/look.ts';
import { jsonOf } from './slices-packet.ts';

/** What one socket looks at, and what it was last told of it: slice by slice, as JSON. */
export interface Watch {
  socket: Socket;
  session: Session;
  of: string;
  identity: Identity | null;
  told: Map<string, string>;
  /** Events under the newest checkpoint this device has checked, or was sent a proof to. */
  seen: number;
  /** The newest checkpoint it was sent. */
  note: string | null;
  /** The rest of a long first answer is on its way; what changed since is told after it. */
  sending?: Promise<unknown>;
}

/** Slices of one audience with their JSON, computed once however many look. */
type Told = Map<string, { json: string; value: unknown }>;

const tell = (slices: Record<string, unknown>): Told =>
  new Map(Object.entries(slices).map(([key, value]) => [key, { json: jsonOf(value), value }]));

/** How many ratings a slice holds. */
const ratingsIn = (slice: unknown): number =>
  typeof slice === 'object' && slice !== null && 'ratings' in slice && Array.isArray(slice.ratings)
    ? slice.ratings.length
    : 0;

/** The slices of one audience, judged and written a few tasks at a time. */
const tellInTurns = async (
  app: App,
  live: LiveEvaluation,
  audience: Audience,
  online: Presence,
): Promise<Told> => {
  if (seesRatings(audience)) await prepareSlices(app, live);
  const slices = await evaluationSlices(app, live, audience, online);
  await eachInTurns(Object.values(slices), ratingsIn, jsonOf, { keeps: true });
  return tell(slices);
};

/**
 * What is to be told in parts that each take a few milliseconds to write: ratings first, and last, with the stage, what
 * holds none.
 */
export const inParts = (slices: Record<string, unknown>): Record<string, unknown>[] => {
  const parts: Record<string, unknown>[] = [];
  let part: Record<string, unknown> = {};
  let ratings = 0;
  for (const [key, slice] of Object.entries(slices)) {
    const here = ratingsIn(slice);
    if (here === 0) continue;
    part[key] = slice;
    ratings += here;
    if (ratings < RATINGS_A_TURN) continue;
    parts.push(part);
    [part, ratings] = [{}, 0];
  }
  for (const [key, slice] of Object.entries(slices)) if (!ratingsIn(slice)) part[key] = slice;
  return [...parts, part];
};

/** Everything that changed for a watch since it was last told; slices that went are null. */
const changes = (watch: Watch, now: Told): Record<string, unknown> => {
  const changed: Record<string, unknown> = {};
  for (const [key, { json, value }] of now) {
    if (watch.told.get(key) === json) continue;
    watch.told.set(key, json);
    changed[key] = value;
  }
  for (const key of watch.told.keys()) {
    if (now.has(key)) continue;
    watch.told.delete(key);
    changed[key] = null;
  }
  return changed;
};

/** From this many slices on, other work is let in before each person is told. */
const MANY_SLICES = 100;

/** What a watch may see now; undefined when its seat is gone. */
const lookEvaluation = async (
  app: App,
  live: LiveEvaluation,
  watch: Watch,
  online: Presence,
  shared: Map<Audience, Told>,
): Promise<Told | undefined> => {
  const seat = watch.identity?.seat ?? '';
  const audience = audienceOf(live.state, seat);
  const me = ownSlice(app, live, seat, online);
  if (!audience || !me) return undefined;
  const known = shared.get(audience) ?? (await tellInTurns(app, live, audience, online));
  shared.set(audience, known);
  // Much to compare: one person a turn.
  if (known.size > MANY_SLICES) await nextTurn();
  // While the tasks were judged, the seat may have got another audience, or have gone.
  if (audienceOf(live.state, seat) !== audience) {
    return lookEvaluation(app, live, watch, online, shared);
  }
  return new Map([...known, ...tell({ me })]);
};

const lookPanel = async (
  app: App,
  panel: LivePanel,
  watch: Watch,
  online: Presence,
): Promise<Told | undefined> => {
  const view = watch.identity && (await panelView(app, panel, watch.identity, online));
  return view ? tell({ view }) : undefined;
};

/** Slices for one watch that it has not been told yet; undefined when it may not look. */
export const untold = async (
  app: App,
  watch: Watch,
  online: Presence,
  shared = new Map<Audience, Told>(),
): Promise<Record<string, unknown> | undefined> => {
  let now: Told | undefined;
  if (watch.of === 'home') now = tell({ view: await homeView(app) });
  else if (watch.of.startsWith('pn_')) {
    const panel = await app.logs.panel(watch.of);
    now = panel && (await lookPanel(app, panel, watch, online));
  } else {
    const live = await app.logs.evaluation(watch.of);
    now = live && (await lookEvaluation(app, live, watch, online, shared));
  }
  return now && changes(watch, now);
};
