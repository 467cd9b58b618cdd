import type { DivergenceRule, InsightSlice, WitnessFault } from '@unhindered/shared-types';
import { plural } from './plural.ts';

/** Words of what the ratings say about the panel; only the moderator reads them. */
export const insightWords = {
  insight: {
    title: 'What the ratings say about the panel',
    reading: {
      undefined: 'Agreement cannot be computed yet.',
      alike: 'The reviewers tell the tasks apart alike.',
      'tasks-hardly-differ':
        'Alpha is low because the tasks hardly differ, not because the reviewers do.',
      tentative: 'Good enough for tentative conclusions, not for fine differences between tasks.',
      apart: 'The reviewers do not tell the tasks apart alike.',
    } satisfies Record<InsightSlice['reading'], string>,
    dependable: (phi: string, more: number) =>
      more > 0
        ? `With ${plural(more, 'more reviewer', 'more reviewers')} the result would be dependable at .80 (now ${phi}).`
        : `The result is dependable at .80 (now ${phi}).`,
    notEstimable: (why: string) => `Dependability cannot be estimated: ${why}.`,
    rule: {
      D1: (lone: string, split: string) =>
        `A task is flagged when a rating lies ${lone} steps or more from the median of the others, or when the ratings lie more than ${split} ${split === '1' ? 'step' : 'steps'} from their median on average. Rule D1, part of the protocol version and of the record.`,
      strict: (lone: string) =>
        `A task is flagged when its ratings lie ${lone} steps or more apart. The strict rule, part of the protocol version and of the record.`,
      lenient: (lone: string) =>
        `A task is flagged when a rating lies ${lone} steps or more from the median of all. The lenient rule, part of the protocol version and of the record.`,
    } satisfies Record<DivergenceRule['id'], (lone: string, split: string) => string>,
    habits: 'Habits',
    habitsHint:
      'How many steps a reviewer rates above (right) or below (left) the panel, with the standard error. Feedback, not a fault: nobody is reweighted.',
    habit: 'Habit, steps',
    ratings: 'Ratings',
    error: (text: string) => `± ${text}`,
    carried: (tasks: string) => `No longer divergent with each habit taken out: ${tasks}.`,
    absence: 'If somebody had been away',
    absenceNone:
      'Nobody’s absence would move the composite by a twentieth of the scale or change a flag.',
    without: (who: string, change: string, gone: string, begun: string) => {
      const parts = [
        ...(change === '' ? [] : [`the composite moves by ${change}`]),
        ...(gone === '' ? [] : [`${gone} no longer diverges`]),
        ...(begun === '' ? [] : [`${begun} would diverge`]),
      ];
      return `Without ${who}: ${parts.join('; ')}.`;
    },
    figures: (single: string, average: string, ac2: string) =>
      `ICC(A,1) ${single}, of the panel’s mean ${average}; Gwet’s AC2 ${ac2}.`,
  },
  doubts: {
    title: 'A device does not believe this record',
    line: {
      rewind: (who: string) => `${who}: the server knows less than this device has already seen.`,
      fork: (who: string) => `${who}: the server tells another history than this device has seen.`,
      signature: (who: string) =>
        `${who}: the record is signed with a key this device does not know.`,
    } satisfies Record<WitnessFault, (who: string) => string>,
    act: 'Stop here. Ask whoever runs the server whether a backup was put back, and keep the devices as they are: they hold the evidence.',
  },
};
