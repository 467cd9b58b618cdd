import {
  done,
  refused,
  type Envelope,
  type Outcome,
  type Registered,
  type RegisterEvent,
  type SpecimenDetails,
  type SpecimenPhotoCommand,
} from '@unhindered/shared-types';
import type { KeptMedia } from './decide/context.ts';
import { applyPhoto, decidePhoto, isShown, type SpecimenPhotos } from './specimen-photos.ts';

/** One specimen as its register tells it, with everything that stood there before. */
export interface SpecimenState {
  specimen: string;
  details: SpecimenDetails;
  registeredAt: string;
  history: { at: string; reason: string; old: SpecimenDetails }[];
  retired: { reason: string; at: string } | null;
  /** Its photos, oldest first, removed ones too. */
  photos: SpecimenPhotos;
  /** Evaluations made of it, oldest first. */
  evaluations: readonly { evaluation: string; at: string }[];
}

/** The register of a workspace: a fold over its log. */
export type RegisterState = ReadonlyMap<string, SpecimenState>;

export const emptyRegister: RegisterState = new Map();

/** SP-1: the register after one more event. A correction keeps the old description; nothing is ever taken out. */
export const applyRegister = (
  state: RegisterState,
  event: RegisterEvent & Pick<Envelope, 'at'>,
): RegisterState => {
  const { type, data, at } = event;
  const next = new Map(state);
  if (type === 'specimen-registered') {
    const rest = { registeredAt: at, history: [], retired: null };
    const nothing = { photos: new Map(), evaluations: [] };
    return next.set(data.specimen, { ...data, ...rest, ...nothing });
  }
  const piece = state.get(data.specimen);
  if (!piece) throw new Error(`the register has no specimen ${data.specimen}`);
  switch (type) {
    case 'specimen-corrected': {
      const history = [...piece.history, { at, reason: data.reason, old: data.old }];
      return next.set(data.specimen, { ...piece, details: data.new, history });
    }
    case 'specimen-retired':
      return next.set(data.specimen, { ...piece, retired: { reason: data.reason, at } });
    case 'specimen-used': {
      const evaluations = [...piece.evaluations, { evaluation: data.evaluation, at }];
      return next.set(data.specimen, { ...piece, evaluations });
    }
    case 'specimen-photo-added':
    case 'specimen-photo-captioned':
    case 'specimen-photo-removed':
      return next.set(data.specimen, { ...piece, photos: applyPhoto(piece.photos, event) });
  }
};

/** SP-2: a combined kit names two pieces or more that are registered and are no kits; nothing else names any. */
const pieceFault = (
  state: RegisterState,
  { kind, pieces }: SpecimenDetails,
): ReturnType<typeof refused> | undefined => {
  if (kind !== 'combined' && pieces.length > 0) {
    return refused('bad-input', 'Only a combined kit has pieces.', { place: 'details.pieces' });
  }
  if (kind === 'combined' && new Set(pieces).size < 2) {
    const remedy = 'Register each piece first, then choose two or more.';
    return refused('bad-input', `A combined kit has two pieces or more. ${remedy}`, {
      place: 'details.pieces',
    });
  }
  const odd = pieces.find((p) => (state.get(p)?.details.kind ?? 'combined') === 'combined');
  return odd === undefined
    ? undefined
    : refused('unknown-thing', 'A piece of the kit is not in the register, or is a kit itself.');
};

const unknown = refused('unknown-thing', 'There is no such specimen in the register.');

/** The event of a new line in the register. */
export const decideRegister = (
  state: RegisterState,
  specimen: string,
  details: SpecimenDetails,
): Outcome<RegisterEvent[]> =>
  pieceFault(state, details) ??
  done([{ type: 'specimen-registered', data: { specimen, details } }]);

/** The event of a corrected line; a retired specimen can still be put right, but its kind stays. */
export const decideCorrection = (
  state: RegisterState,
  specimen: string,
  details: SpecimenDetails,
  reason: string,
): Outcome<Extract<RegisterEvent, { type: 'specimen-corrected' }>[]> => {
  const piece = state.get(specimen);
  if (!piece) return unknown;
  const { details: old } = piece;
  if ((details.kind === 'combined') !== (old.kind === 'combined')) {
    return refused('bad-input', 'A piece does not become a kit. Register the kit on its own.', {
      place: 'details.kind',
    });
  }
  const fault = pieceFault(state, details);
  if (fault) return fault;
  if (JSON.stringify(details) === JSON.stringify(old)) return done([]);
  return done([{ type: 'specimen-corrected', data: { specimen, old, new: details, reason } }]);
};

/** SP-3: a retired specimen stays in the register with the reason, and gets no new evaluation. */
export const decideRetirement = (
  state: RegisterState,
  specimen: string,
  reason: string,
): Outcome<RegisterEvent[]> => {
  const piece = state.get(specimen);
  if (!piece) return unknown;
  if (piece.retired) return refused('already-decided', 'It is retired already.');
  return done([{ type: 'specimen-retired', data: { specimen, reason } }]);
};

/** The event of a photo of a registered specimen; a retired one may still be shown. */
export const decideOnPhoto = (
  state: RegisterState,
  command: SpecimenPhotoCommand,
  upload: KeptMedia | undefined,
): ReturnType<typeof decidePhoto> => {
  const piece = state.get(command.specimen);
  return piece ? decidePhoto(piece.photos, command, upload) : unknown;
};

/** Whether a photo of any specimen stands whose file has this hash. */
export const isPhotoShown = (state: RegisterState, sha256: string): boolean =>
  [...state.values()].some((p) => isShown(p.photos, sha256));

/** What an evaluation keeps of a specimen that may be evaluated: its description now, and those of the parts of a kit. */
export const registeredNow = (state: RegisterState, specimen: string): Outcome<Registered> => {
  const piece = state.get(specimen);
  if (!piece) return unknown;
  const { details } = piece;
  const parts = details.pieces.flatMap((id) => state.get(id) ?? []);
  if ([piece, ...parts].some((p) => p.retired)) {
    return refused(
      'already-decided',
      'It is retired, or a piece of it is. Choose another specimen.',
    );
  }
  return done({
    specimen,
    details,
    parts: parts.map((p) => ({ specimen: p.specimen, details: p.details })),
  });
};

/** The pieces that a kit has, and those it had before a correction. */
const everPieces = ({ details, history }: SpecimenState): string[] =>
  [details, ...history.map((h) => h.old)].flatMap((d) => d.pieces);

/** Evaluations that what happens to a specimen may concern: its own, and those of the kits it is or was a piece of. */
export const evaluationsWith = (
  state: RegisterState,
  specimen: string,
): SpecimenState['evaluations'] =>
  [...state.values()]
    .filter((p) => p.specimen === specimen || everPieces(p).includes(specimen))
    .flatMap((p) => p.evaluations);
