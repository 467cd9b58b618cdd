import { protocolTasks, type Observation, type RecordBlock } from '@unhindered/shared-types';
import type { RecordSource } from '../record-source.ts';
import { capital, plain, plural, seatWords, taskTitle } from '../words.ts';

const HOW: Record<Observation, string> = {
  present: 'in the room',
  'live-elsewhere': 'live on video, elsewhere',
  recorded: 'on recordings',
};

/** How a seat said it saw the work, round by round; nothing when it never said. */
const statements = (source: RecordSource, seat: string): { round: number; how: Observation }[] =>
  source.state.rounds.flatMap((r) => {
    const how = r.observed.get(seat);
    return how === undefined ? [] : [{ round: r.number, how }];
  });

/** How a reviewer saw the work, in words. */
export const observedWords = (source: RecordSource, seat: string): string[] => {
  const said = statements(source, seat);
  if (said.length === 0) return ['not stated'];
  const same = said.every((s) => s.how === said[0]?.how);
  return same && said[0]
    ? [capital(HOW[said[0].how])]
    : said.map((s) => `Round ${String(s.round)}: ${HOW[s.how]}`);
};

/** Whether every counted reviewer said how they saw the work. */
export const allStated = (source: RecordSource): boolean =>
  source.result.counted.every((seat) => statements(source, seat).length > 0);

/** Steps on tasks that cannot be judged on video, by reviewers who said they saw that round on video. */
const unseen = (source: RecordSource): string[] => {
  const never = new Set(
    protocolTasks(source.protocol)
      .filter((t) => t.onVideo === 'no')
      .map((t) => t.id),
  );
  return source.standings
    .filter((t) => never.has(t.task))
    .flatMap((t) => {
      const seats = t.ratings.filter(({ seat, rating, round }) => {
        const how = statements(source, seat).find((s) => s.round === round)?.how;
        return rating.step !== null && how !== undefined && how !== 'present';
      });
      if (seats.length === 0) return [];
      return [
        `${taskTitle(source, t.task)}: ${seats.map((r) => seatWords(source, r.seat)).join(', ')}`,
      ];
    });
};

/** ME-20: what follows from how the reviewers saw the work, and who played which clip. */
export const observedBlocks = (source: RecordSource): RecordBlock[] => {
  const clips = [...source.state.media.values()].filter((m) => m.type.startsWith('video/'));
  const against = unseen(source);
  return [
    ...(against.length === 0
      ? []
      : [
          plain(
            'Given a step by somebody who saw it on video, although force and feel cannot be judged on video:',
          ),
          { kind: 'list' as const, items: against },
        ]),
    ...(clips.length === 0
      ? []
      : [
          {
            kind: 'table' as const,
            caption: `${capital(plural(clips.length, 'clip', 'clips'))}, and which reviewers played it here`,
            head: ['Clip', 'Played by'],
            widths: [0.6, 0.4],
            rows: clips.map((m) => [
              [m.description, ...(m.removed ? ['removed since'] : [])],
              [
                m.watchedBy.length === 0
                  ? 'no reviewer'
                  : m.watchedBy.map((seat) => seatWords(source, seat)).join(', '),
              ],
            ]),
          },
        ]),
  ];
};
