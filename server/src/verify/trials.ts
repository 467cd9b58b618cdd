import type { Bench, Posted, TrialThread } from './trial-thread.ts';

const threadOf = (threads: readonly TrialThread[], key: string): TrialThread | undefined =>
  threads.find((t) => t.keys.includes(key));

/**
 * AU-11: takes a board entry of who posted it; returns what cannot be, in the light of the ones before. Nobody posts for
 * another seat, corrects the trial of another, or voids it without being a moderator.
 */
export const takeEntry = (
  r: Bench,
  { seat, key, entry }: Posted,
  actor: string,
): string | undefined => {
  if (seat !== actor) return 'nobody posts an entry for another seat';
  if (!key.startsWith(`${seat}/`)) return 'the entry stands under somebody else';
  if (r.entries.has(key)) return 'the entry stands already';
  r.entries.add(key);
  if (entry.kind === 'remark') return undefined;
  const named = entry.kind === 'trial' ? entry.replaces : entry.trial;
  const thread = named === null ? undefined : threadOf(r.trials, named);
  const own = named === null || named.startsWith(`${seat}/`);
  if (entry.kind === 'trial-void') {
    if (!own && r.seats.get(seat)?.role !== 'moderator') return 'voids the trial of somebody else';
    if (thread) thread.out = true;
    return undefined;
  }
  if (!own) return 'corrects the trial of somebody else';
  if (thread) {
    thread.keys.push(key);
    thread.now = entry;
  } else r.trials.push({ seat, keys: [key], now: entry, out: false });
  return undefined;
};
