import { plural } from './plural.ts';

/** Words of the time to access: curves over a ladder of techniques, and their twin in a table. */
export const accessWords = {
  title: 'Time to access',
  lead: 'How long it takes to get there when each technique is tried as the one before fails or reaches its cap.',
  back: 'To the trials',
  record: 'To the record',
  retry: 'Try again',
  loading: 'Working it out …',
  none: 'This protocol has no ladder of techniques, so there is no time to access to show.',
  ladder: (goal: string) => `${goal}: time to access`,
  axisTime: 'Seconds from “go”',
  axisShare: 'Share of cases with access',
  seconds: (n: string) => `${n} s`,
  datum: 'at once, as without the equipment',
  curve: 'Share of cases with access by that time',
  band: '95 % limits at each time by itself',
  summary: (goal: string, parts: string) =>
    `${goal}. Access ${parts}. The table below says the same.`,
  byPart: (seconds: string, share: string) => `by ${seconds} in ${share}`,
  table: 'The same in numbers',
  columns: { what: 'Access', share: 'Share of cases', limits: '95 % limits' },
  by: (seconds: string) => `by ${seconds}`,
  ever: 'at all',
  median: 'Half of the cases by',
  notReached: 'not reached',
  limits: (lower: string, upper: string) => `${lower} to ${upper}`,
  closed: (share: string, mean: string) =>
    `From the shares and mean times of each technique alone (closed form): access in ${share}, after ${mean} on average where there is access.`,
  drawn: (replicates: string, seed: string) =>
    `Limits: the trials of each technique drawn again ${replicates} times, seed ${seed}. Draw them again with the same seed and they are the same.`,
  rungs: 'The techniques, in the order they are tried',
  rung: {
    place: (title: string, state: string, cap: string) =>
      `${title} (${state.toLowerCase()}${cap === '' ? '' : `, at most ${cap}`})`,
    trials: (n: number, operators: number) =>
      `${plural(n, 'trial', 'trials')}${n === 0 ? '' : ` by ${plural(operators, 'operator', 'operators')}`}`,
    done: (n: number, share: string, lower: string, upper: string) =>
      `${String(n)} done (${share}, 95 % limits ${lower} to ${upper})`,
    notDone: (n: number) => `${String(n)} not done in time`,
    begun: (share: string) => `was needed in ${share} of cases`,
  },
  staged:
    'A staged test with trained people. In an emergency, local protocol and medical direction count.',
  compare: {
    title: 'Time to access',
    hint: 'Each curve is one piece, marked with its letter. The further right, the longer it takes. Limits stand in the table; curves whose limits overlap should not be read as different.',
    summary: (goal: string, parts: string) =>
      `${goal}. Half of the cases have access: ${parts}. The table below says more.`,
    part: (letter: string, model: string, median: string) => `${letter} ${model}: ${median}`,
    half: (median: string) => `by ${median}`,
    piece: 'Piece',
    trials: 'Trials',
    none: 'None of these pieces has trials of a ladder of techniques.',
    other: 'A ladder is compared where pieces share the protocol, its version and the ladder.',
  },
};
