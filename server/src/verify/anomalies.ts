import type { EvaluationEvent } from '@unhindered/shared-types';
import type { Replay } from './replay.ts';

const span = (ms: number): string => {
  const s = Math.round(Math.abs(ms) / 1000);
  if (s < 120) return `${String(s)} seconds`;
  if (s < 7200) return `${String(Math.round(s / 60))} minutes`;
  return s < 172_800
    ? `${String(Math.round(s / 3600))} hours`
    : `${String(Math.round(s / 86_400))} days`;
};

/**
 * AU-8: what is odd about an event without breaking the bundle, in words; nothing for most. `stage` is the stage in
 * which it stands.
 */
export const anomalies = (event: EvaluationEvent, { stage, rounds }: Replay): string[] => {
  const when = stage === 'sealed' ? ` while round ${String(rounds.length)} was sealed` : '';
  if (event.type === 'store-restored') {
    const { had, has } = event.data;
    const lost = had === null ? '' : ` (${String(had)} events before, ${String(has)} after)`;
    return [`says that a backup took the place of the store${when}${lost}`];
  }
  if (event.type === 'clock-jumped') {
    const { ms, running } = event.data;
    const way = ms < 0 ? 'back' : 'forward';
    const how = running ? 'was set' : 'had been set';
    return [
      `says that the clock ${how} ${way} by ${span(ms)}${when}: times around it are not sure`,
    ];
  }
  if (event.type !== 'server-started') return [];
  const { software, before, unclean } = event.data;
  return [
    ...(unclean ? [`says that the server had ended without being stopped${when}`] : []),
    ...(before !== null && before !== software
      ? [`says that the program changed from "${before}" to "${software}"${when}`]
      : []),
  ];
};
