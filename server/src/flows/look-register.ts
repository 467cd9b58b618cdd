import {
  done,
  refused,
  reject,
  type Outcome,
  type RegisterAnswer,
  type RegisterQuery,
  type RegisterRow,
  type Rejection,
  type SpecimenAnswer,
} from '@unhindered/shared-types';
import { fitStanding } from '../evaluation/fit.ts';
import type { RegisterState, SpecimenState } from '../evaluation/register.ts';
import type { SpecimenPhotoState } from '../evaluation/specimen-photos.ts';
import type { Session } from '../ports/store.ts';
import type { App } from './app.ts';
import { registerOf } from './register.ts';
import { identityIn } from './sessions.ts';
import { photosFor, photoSight } from './specimen-photos.ts';

/** Lines of one answer. */
const PAGE = 200;

/** Why a session may not read the register; undefined for the lead and for everybody with a seat but the wall. */
export const registerRefusal = async (
  app: App,
  session: Session,
): Promise<Rejection | undefined> => {
  const { panel: id } = session;
  if (id === null) return undefined;
  const panel = await app.logs.panelNow(id);
  const identity = panel && (await identityIn(app, session, id));
  const seat = panel?.state.seats.get(identity?.seat ?? '');
  return seat?.state === 'taken' && seat.role !== 'wall'
    ? undefined
    : reject('role-may-not', 'The register is shown to people with a seat.');
};

/** Whole months from a day to an instant; null when the day is unknown or lies ahead. */
export const monthsSince = (made: string | null, now: number): number | null => {
  if (made === null) return null;
  const [from, to] = [new Date(`${made}T00:00:00.000Z`), new Date(now)];
  const months =
    (to.getUTCFullYear() - from.getUTCFullYear()) * 12 + to.getUTCMonth() - from.getUTCMonth();
  const whole = to.getUTCDate() < from.getUTCDate() ? months - 1 : months;
  return Number.isNaN(whole) || whole < 0 ? null : whole;
};

const rowOf = (app: App, piece: SpecimenState): RegisterRow => ({
  specimen: piece.specimen,
  details: piece.details,
  ageMonths: monthsSince(piece.details.made, app.timers.now()),
  registeredAt: piece.registeredAt,
  retired: piece.retired,
  evaluations: piece.evaluations.length,
});

const wordsIn = ({ details: d }: SpecimenState): string =>
  [d.maker, d.model, d.year, d.size, d.serial, d.sport, d.condition, d.suppliedBy, d.notes, d.kind]
    .concat(d.hardware.flatMap((h) => [h.kind, h.material]))
    .join(' ')
    .normalize('NFC')
    .toLowerCase();

/** SP-6: the register to look through, newest first; every word asked for must be there. Retired ones only on request. */
export const findInRegister = async (app: App, query: RegisterQuery): Promise<RegisterAnswer> => {
  const asked = query.text.normalize('NFC').toLowerCase().split(/\s+/u).filter(Boolean);
  const { state } = await registerOf(app);
  const found = [...state.values()]
    .filter((p) => query.retired === 'yes' || !p.retired)
    .filter((p) => {
      const text = wordsIn(p);
      return asked.every((word) => text.includes(word));
    })
    .toReversed();
  return {
    rows: found.slice(0, PAGE).map((p) => rowOf(app, p)),
    more: Math.max(0, found.length - PAGE),
  };
};

type History = SpecimenAnswer['history'];

const historyOfPhoto = (p: SpecimenPhotoState): History => {
  const [first = p.caption] = [...p.captions.map((c) => c.old), p.caption];
  const plain = { reason: null, old: null };
  const { removed } = p;
  return [
    { ...plain, at: p.addedAt, what: 'photo-added', caption: first },
    ...p.captions.map(({ at, old }) => ({
      ...plain,
      at,
      what: 'photo-captioned' as const,
      caption: old,
    })),
    ...(removed
      ? [{ ...removed, what: 'photo-removed' as const, old: null, caption: p.caption }]
      : []),
  ];
};

/** What was done to a description and to the photos that the reader may see, in the order of time. */
const historyOf = (piece: SpecimenState, sees: (p: SpecimenPhotoState) => boolean): History => {
  const rest = { caption: null };
  const own: History = [
    { at: piece.registeredAt, what: 'registered', reason: null, old: null, ...rest },
    ...piece.history.map((h) => ({ ...h, what: 'corrected' as const, ...rest })),
    ...(piece.retired ? [{ ...piece.retired, what: 'retired' as const, old: null, ...rest }] : []),
  ];
  const photos = [...piece.photos.values()].filter(sees).flatMap(historyOfPhoto);
  return [...own, ...photos].toSorted((a, b) => a.at.localeCompare(b.at));
};

/** AC-10: evaluations of a specimen: those of one's own panels, and of others what is locked and so in the catalogue. */
const usesOf = async (
  app: App,
  session: Session,
  piece: SpecimenState,
): Promise<SpecimenAnswer['used']> => {
  const used: SpecimenAnswer['used'] = [];
  for (const { evaluation } of piece.evaluations) {
    const state = (await app.logs.evaluation(evaluation))?.state;
    if (!state?.created) continue;
    const { panel, title } = state.created;
    const own = session.panel === null || session.panel === panel;
    if (!own && state.locked === null) continue;
    const about = { fit: fitStanding(state), checks: state.fitChecks.size };
    used.push({ evaluation, panel, title, stage: state.stage, ...about });
  }
  return used.toReversed();
};

const kitsWith = (state: RegisterState, specimen: string): SpecimenAnswer['kits'] =>
  [...state.values()]
    .filter((p) => p.details.pieces.includes(specimen))
    .map((p) => ({ specimen: p.specimen, title: `${p.details.maker} ${p.details.model}` }));

/** One specimen with its parts, its history and the evaluations of it. */
export const lookAtSpecimen = async (
  app: App,
  session: Session,
  specimen: string,
): Promise<Outcome<SpecimenAnswer>> => {
  const { state } = await registerOf(app);
  const piece = state.get(specimen);
  if (!piece) return refused('unknown-thing', 'There is no such specimen in the register.');
  const parts = piece.details.pieces.flatMap((id) => state.get(id) ?? []);
  return done({
    ...rowOf(app, piece),
    photos: await photosFor(app, session, state, piece),
    parts: await Promise.all(
      parts.map(async (part) => ({
        ...rowOf(app, part),
        photos: await photosFor(app, session, state, part),
      })),
    ),
    kits: kitsWith(state, specimen),
    history: historyOf(piece, await photoSight(app, session, state, specimen)),
    used: await usesOf(app, session, piece),
  });
};
