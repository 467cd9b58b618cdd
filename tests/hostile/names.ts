import { judgeHttp, sendHttp } from './door.ts';
import type { Change, Play } from './family.ts';

/** Controls of direction, and characters that are not seen. */
const UNSEEN = /[\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff]/u;

/** A name is given when a seat is taken, and nowhere else. */
export const joinWithName = async (play: Play): Promise<void> => {
  const { world, judged, payload } = play;
  const { name, existing } = JSON.parse(payload.toString('utf8')) as {
    name: string;
    existing?: string;
  };
  const take = async (as: string) => {
    const { secret } = await world.invite('observer');
    return sendHttp(world.url, '/api/invitations/use', {
      headers: { 'content-type': 'application/json' },
      body: Buffer.from(JSON.stringify({ key: { secret }, name: as })),
    });
  };
  if (existing !== undefined) await take(existing);
  const answer = await take(name);
  judgeHttp(judged, answer);
  judged.answers.push(answer.body);
};

const folded = (name: string): string =>
  name.normalize('NFKC').toLowerCase().replaceAll(/\s+/gu, ' ').trim();

/** What the names that were stored look like. */
export const nameChecks = ({ judged }: Play, { after }: Change): void => {
  const names = after.people.map((p) => p.name);
  const unseen = names.filter((n) => UNSEEN.test(n));
  judged.observe('name-no-bidi-controls', unseen.length === 0, unseen.join());
  // The lead sits in both panels under one name, in different panels.
  const seated = names.filter((n) => n !== 'Mo').map(folded);
  const twice = seated.filter((n, i) => seated.indexOf(n) !== i);
  judged.observe('two-members-told-apart', twice.length === 0, twice.join());
};
