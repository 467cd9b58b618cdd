import type {
  ArrivalSlice,
  HomeView,
  NoticeSlice,
  PanelView,
  Stage,
} from '@unhindered/shared-types';
import { meSlice } from '../evaluation/view/me.ts';
import { briefingOf } from './briefing.ts';
import { sharedSlices, type Slices, type Surroundings } from '../evaluation/view/slices.ts';
import type { Audience } from '../evaluation/visibility.ts';
import {
  nameOf,
  protocolOf,
  type App,
  type Identity,
  type LiveEvaluation,
  type LivePanel,
} from './app.ts';
import { inOrder } from './look-workshop.ts';

/** Whether somebody of a seat is connected. */
export type Presence = (seat: string) => boolean;

const surroundings = async (
  app: App,
  live: LiveEvaluation,
  online: Presence,
): Promise<Surroundings> => {
  const { protocol } = protocolOf(app, live.state);
  const panel = await app.logs.panel(live.state.created?.panel ?? '');
  return {
    protocol,
    panelTitle: panel?.state.title ?? '',
    briefing: briefingOf(protocol),
    people: { name: (seat) => nameOf(app, seat), online },
    checkpoint: { root: Buffer.from(live.root).toString('hex'), size: live.size },
    insight: (question) => app.insights.of(live.id, question),
    arrivals: panel?.state.arrivals.size ?? 0,
    doubts: [...(app.doubts.get(live.id)?.values() ?? [])],
  };
};

/** What an audience sees of an evaluation. */
export const evaluationSlices = async (
  app: App,
  live: LiveEvaluation,
  audience: Audience,
  online: Presence,
): Promise<Slices> => sharedSlices(live.state, await surroundings(app, live, online), audience);

/** What only one seat sees of an evaluation. */
export const ownSlice = (app: App, live: LiveEvaluation, seat: string, online: Presence) =>
  meSlice(
    live.state,
    seat,
    { name: (s) => nameOf(app, s), online },
    protocolOf(app, live.state).protocol,
  );

const evaluationsOf = async (app: App, panel: LivePanel): Promise<PanelView['evaluations']> => {
  const evaluations: PanelView['evaluations'] = [];
  for (const { evaluation, title } of panel.state.evaluations) {
    const live = await app.logs.evaluation(evaluation);
    const created = live?.state.created;
    if (!live || !created) continue;
    const stage: Stage = live.state.stage;
    evaluations.push({ evaluation, title, stage, specimen: created.specimen });
  }
  return evaluations;
};

/** Who waits, for the moderator who lets them in. */
const arrivalSlices = (app: App, panel: LivePanel): ArrivalSlice[] =>
  [...panel.state.arrivals.values()].flatMap(({ seat: id, device, nameHash, move, at }) => {
    const seat = panel.state.seats.get(id);
    if (!seat) return [];
    const { role, letter, label } = seat;
    const further = move ? 'move' : 'device';
    const asks = nameHash === null ? further : 'seat';
    return [{ seat: id, device, asks, name: nameOf(app, id), role, letter, label, at } as const];
  });

type SeatSliceState = PanelView['seats'][number]['state'];

/** Who waits is the moderators' to know: for others the seat is still on offer. */
const shownState = (state: SeatSliceState, moderates: boolean): SeatSliceState =>
  state === 'waiting' && !moderates ? 'offered' : state;

const DAY_MS = 24 * 3600_000;

/** What happened to the server in the last day that a moderator should know of. */
const noticesOf = (app: App): NoticeSlice[] =>
  (app.system?.state.notes ?? [])
    .filter(({ at }) => app.timers.now() - Date.parse(at) < DAY_MS)
    .flatMap((note): NoticeSlice[] => {
      const { at } = note;
      if (note.type === 'store-restored') return [{ at, what: 'restored' }];
      if (note.type === 'clock-jumped') {
        const { ms, running } = note.data;
        return [{ at, what: 'clock', ms, running }];
      }
      return note.data.unclean ? [{ at, what: 'ended-uncleanly' }] : [];
    });

/** SD-1: the last stop with who called it, for every device of the panel. */
const toldStop = (app: App, panel: LivePanel): PanelView['stop'] => {
  const stop = panel.state.safety.stops.at(-1);
  const seat = panel.state.seats.get(stop?.seat ?? '');
  return stop && seat
    ? { ...stop, name: nameOf(app, stop.seat), role: seat.role, letter: seat.letter }
    : null;
};

/** What a seat sees of its panel. Declarations of others are the moderator's to see. */
export const panelView = async (
  app: App,
  panel: LivePanel,
  identity: Identity,
  online: Presence,
): Promise<PanelView | undefined> => {
  const me = panel.state.seats.get(identity.seat);
  if (me?.state !== 'taken') return undefined;
  const moderates = me.role === 'moderator';
  return {
    panel: panel.id,
    title: panel.state.title,
    occasion: panel.state.occasion,
    seats: [...panel.state.seats.values()].map((s) => ({
      seat: s.seat,
      role: s.role,
      letter: s.letter,
      label: s.label,
      name: s.state === 'taken' || s.state === 'revoked' ? nameOf(app, s.seat) : null,
      online: online(s.seat),
      state: shownState(s.state, moderates),
      erased: s.erased,
      paper: s.paper,
      declaration: moderates || s.seat === identity.seat ? s.declaration : null,
    })),
    guessing: moderates ? app.codes.closing() : null,
    arrivals: moderates ? arrivalSlices(app, panel) : [],
    notices: moderates ? noticesOf(app) : [],
    stop: toldStop(app, panel),
    evaluations: await evaluationsOf(app, panel),
    protocols: inOrder(app.protocols.values()).map(({ protocol: p }) => ({
      id: p.id,
      version: p.version,
      title: p.title,
      invented: p.invented,
    })),
    me: {
      seat: identity.seat,
      role: me.role,
      letter: me.letter,
      name: nameOf(app, identity.seat),
      declared: me.declaration !== null,
    },
  };
};

/** What the lead sees of the workspace: its panels, newest first. */
export const homeView = async (app: App): Promise<HomeView> => {
  const panels: HomeView['panels'] = [];
  for (const { log } of await app.store.logs()) {
    if (!log.startsWith('pn_')) continue;
    const panel = await app.logs.panel(log);
    if (!panel) continue;
    const { title, occasion, createdAt, evaluations } = panel.state;
    panels.push({ panel: log, title, occasion, createdAt, evaluations: evaluations.length });
  }
  return { panels: panels.toSorted((a, b) => b.createdAt.localeCompare(a.createdAt)) };
};
