import {
  done,
  refused,
  type AccessAnswer,
  type AccessComparison,
  type Outcome,
} from '@unhindered/shared-types';
import { bareMultiples } from '../evaluation/bare-multiple.ts';
import { gatherLadders } from '../evaluation/ladders.ts';
import { audienceOf, seesEvidence } from '../evaluation/visibility.ts';
import { protocolOf, type App, type LiveEvaluation } from './app.ts';
import { notInCatalogue, wantedIds } from './compare.ts';

const accessIn = async (app: App, live: LiveEvaluation): Promise<AccessAnswer> => {
  const { protocol } = protocolOf(app, live.state);
  const gathered = gatherLadders(live.state.trials, protocol);
  return {
    evaluation: live.id,
    ladders: await app.ladders.of(gathered),
    bare: bareMultiples(live.state.trials, protocol),
  };
};

/**
 * Times to access of one evaluation, as its trials stand, for a seat of its panel. LA-3: whoever may not see the trials
 * yet (SE-12) is not told what they come to either.
 */
export const accessOf = async (
  app: App,
  live: LiveEvaluation,
  seat: string,
): Promise<Outcome<AccessAnswer>> => {
  const audience = audienceOf(live.state, seat);
  if (!audience || !seesEvidence(live.state, audience, protocolOf(app, live.state).protocol)) {
    return refused(
      'role-may-not',
      'Under this protocol the trials are shown after the first opening.',
    );
  }
  return done(await accessIn(app, live));
};

/** Times to access of up to twelve locked evaluations; refused when one of them is not in the catalogue. */
export const compareAccess = async (
  app: App,
  ids: readonly string[],
): Promise<Outcome<AccessComparison>> => {
  const wanted = wantedIds(ids);
  if (!wanted.ok) return wanted;
  const evaluations: AccessAnswer[] = [];
  for (const id of wanted.value) {
    const live = (await app.catalogue.one(app, id)) && (await app.logs.evaluation(id));
    if (!live) return notInCatalogue(id);
    evaluations.push(await accessIn(app, live));
  }
  return done({ evaluations });
};
