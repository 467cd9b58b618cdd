import {
  followAll,
  followOthers,
  followSizes,
  sizesOf,
  type Followers,
} from '../flows/follow-others.ts';
import type { Bus } from '../ports/bus.ts';
import type { UnderWay } from '../flows/under-way.ts';
import type { Parts } from './listeners.ts';

/**
 * Without notices other processes are looked for this often, milliseconds; with them every LOOK_EVERYth time, for one
 * that is cut off alone and tells nobody. All logs of the store are looked over every SIZES_EVERYth time.
 */
const FOLLOW_MS = 1000;
const LOOK_EVERY = 5;
const SIZES_EVERY = 30;
const SHARE_EVERY = 10;

/**
 * Keeps one organisation of this process beside the same one in other processes; to be called when its own listeners
 * are in place. Returns how to stop.
 */
export const beside = async (
  { app, publisher }: Parts,
  workspace: string,
  bus: Bus,
  work: UnderWay,
): Promise<void> => {
  const { changed, ended } = app;
  const followers: Followers = { changed, ended, online: publisher.heardOnline };
  const sizes = await sizesOf(app);
  followOthers(app, workspace, bus, followers, work);
  const share = (seats: readonly string[]): void => bus.tell(workspace, { kind: 'online', seats });
  publisher.shareOnline = share;
  let rounds = 0;
  const look = async (): Promise<void> => {
    if (!bus.connected() || rounds % LOOK_EVERY === 0) await followAll(app, followers);
    if (rounds % SIZES_EVERY === 0) await followSizes(app, sizes);
  };
  work.every(FOLLOW_MS, 'other processes could not be followed', () => {
    rounds++;
    if (rounds % SHARE_EVERY === 0) share(publisher.seatsHere);
    return look();
  });
};
