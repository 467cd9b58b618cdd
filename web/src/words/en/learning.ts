import { plural } from './plural.ts';

/** Words of what reviewers and protocols learn, and of practice. */
export const learningWords = {
  learning: {
    title: 'My ratings over time',
    titleOf: (name: string, letter: string | null) =>
      `${name}, reviewer ${letter ?? ''}: over time`,
    lead: 'Feedback, not a fault: nobody is reweighted by it, and a panel needs different eyes.',
    seenBy: 'Only you and the lead of this organisation see this page.',
    seenByLead: 'Only this reviewer and you see this page.',
    back: 'Back to the panel',
    empty:
      'Nothing yet: this page begins with the first locked evaluation of this panel in which a rating of yours counts.',
    of: (n: number) =>
      `From ${plural(n, 'locked evaluation', 'locked evaluations')} of this panel, oldest first.`,
    few: 'With so few, a habit and a single disagreement look alike.',
    without: (n: number) =>
      `${plural(n, 'locked evaluation has', 'locked evaluations have')} no counted rating of this seat.`,
    withdrawn: (n: number) =>
      `${plural(n, 'withdrawn record is', 'withdrawn records are')} left out.`,
    severity: 'Habit: above or below the panel',
    severityHint:
      'The heavy line is the panel. A bar to the right: rates higher than the panel on the same tasks, by so many steps on average; to the left: lower. ± is the standard error.',
    lower: 'rates lower',
    higher: 'rates higher',
    panel: 'the panel',
    error: (text: string) => `± ${text}`,
    ratings: (n: number) => plural(n, 'rating', 'ratings'),
    even: 'Evenness and distance',
    evenHint:
      'Evenness is the spread of the ratings once task and habit are taken out: small means the same yardstick from task to task. Distance is from what the panel settled in the end.',
    columns: {
      evaluation: 'Evaluation',
      spread: 'Evenness, steps',
      panelSpread: 'Whole panel',
      distance: 'Mean distance from settled',
      signed: 'With its sign',
      within: 'Within one step',
    },
    paper: 'imported from paper',
    superseded: 'superseded',
    practices: 'Practice',
    noPractice: 'No finished practice.',
    noPracticeShown: 'No practice is shown to you.',
  },
  protocolPage: {
    title: 'How the protocol does',
    lead: 'Over all locked evaluations of one protocol version: where panels do not agree, which points nobody uses, what often does not apply. Withdrawn records are left out.',
    choose: 'Protocol version',
    invented: 'This protocol is invented demonstration material.',
    n: (evaluations: number, ratings: number) =>
      `${plural(evaluations, 'locked evaluation', 'locked evaluations')}, ${plural(ratings, 'counted rating', 'counted ratings')}.`,
    paper: (n: number) => `${String(n)} of them imported from paper, never sealed by this program.`,
    none: 'No locked evaluation yet.',
    tooFew: (n: number, from: number) =>
      `${plural(n, 'locked evaluation', 'locked evaluations')} so far. Figures come from ${String(from)} on: from fewer, the ratings of one panel could be read.`,
    few: (n: number) =>
      `Only ${String(n)} evaluations: what stands here may be the pieces that were judged, not the protocol. Take it as a question, not as an answer.`,
    low: 'Tasks with low agreement',
    lowHint: (cut: string) =>
      `Average deviation from the median above ${cut} steps (a sixth of the scale’s points), or fewer than two thirds of the pairs within one step.`,
    lowWidest: 'None. The widest are:',
    lowLine: (deviation: string, within: string, pairs: number, diverged: number, of: number) =>
      `deviation ${deviation}, ${within} of ${plural(pairs, 'pair', 'pairs')} within one step, diverged in ${String(diverged)} of ${String(of)}`,
    unused: 'Points that were never used',
    unusedAll: (points: string) => `On no task at all: ${points}.`,
    unusedNone: 'Every point was used on some task.',
    unusedHint:
      'A point that nobody uses may have an anchor that nobody recognises, or the pieces may never have been that good or that bad. A task with few ratings leaves points unused by chance.',
    unusedLine: (points: string, n: number) => `${points} (${plural(n, 'rating', 'ratings')})`,
    absent: 'Often not applicable or not observed',
    absentNone: 'None.',
    absentHint: 'A fifth of the answers or more.',
    absentLine: (na: string, no: string, n: number) =>
      `not applicable ${na}, not observed ${no} of ${plural(n, 'answer', 'answers')}`,
    all: 'Every task',
    columns: {
      task: 'Task',
      n: 'Evaluations, ratings',
      deviation: 'Deviation',
      within: 'Within one',
      diverged: 'Diverged',
      unused: 'Never used',
      na: 'Not applicable',
      no: 'Not observed',
    },
  },
  practice: {
    title: 'Practise',
    lead: 'Rate what another panel has rated and locked, sealed as ever; then see, task by task, how far you stand from what it settled. Your practice is part of no record, and nobody sees it but you; the lead does if you say so.',
    rules: [
      'From the beginning of a practice to its end you get no results, here or in the catalogue. It is worth something only if you have not read that record before.',
      'You rate from the description and the pictures, not with the piece in hand: a distance may come from that.',
    ],
    none: 'There is nothing to practise on: it takes a locked evaluation of a panel on which you did not sit.',
    begin: 'Begin',
    goOn: 'Go on',
    look: 'Look at it',
    states: { open: '', begun: 'begun', finished: 'finished', 'given-up': 'given up' },
    back: 'All practices',
    sealed:
      'Sealed: your ratings stay on this device until you finish, and nothing of what the panel found is here.',
    piece: 'The piece',
    noPictures: 'Of another panel’s evaluation the pictures are not shown.',
    pictures: 'Pictures of this task',
    task: 'Task',
    previous: 'Previous',
    next: 'Next',
    answered: (n: number, of: number) => `${String(n)} of ${String(of)} tasks answered`,
    fleeting:
      'This browser keeps nothing on this device: finish before you leave this page, or what you answered is gone.',
    share: 'The lead may see how it went. I can take that back.',
    finish: 'Finish and compare',
    finishTitle: 'Finish the practice?',
    finishLead: (open: number) =>
      `${open === 0 ? '' : `${plural(open, 'task has', 'tasks have')} no answer and will not be compared. `}After this nothing in it can be changed.`,
    needed: 'Rate one task at least. What does not apply needs its reason.',
    giveUp: 'Give up',
    giveUpTitle: 'Give this practice up?',
    giveUpLead:
      'Results open to you again, and this evaluation is not on offer any more. Nothing of it is kept.',
    over: 'You gave this practice up.',
    compared: 'You and the panel',
    hint: 'The heavy line is what the panel settled. A bar to the right: you rated higher, by so many steps; to the left: lower.',
    lower: 'you lower',
    higher: 'you higher',
    settledLine: 'settled',
    summary: (n: number, distance: string, signed: string, within: string) =>
      `${plural(n, 'task', 'tasks')} compared: ${distance} steps from the settled value on average (${signed} with its sign), ${within} within one step.`,
    nothing: 'No task could be compared.',
    own: (text: string) => `You: ${text}.`,
    settled: (value: string) => `Settled at ${value}.`,
    unsettled: 'The panel settled no value.',
    how: {
      adopt: 'The median, adopted.',
      decide: 'Decided.',
      'leave-open': 'Left open at the median.',
    },
    range: (low: string, high: string, n: number) =>
      `The panel’s ${plural(n, 'rating', 'ratings')}: ${low === high ? low : `${low} to ${high}`}.`,
    reason: (text: string) => `Why: ${text}`,
    noReason: 'No reason was written: it was not in dispute.',
    shared: 'Shown to the lead',
    notShared: 'Shown to nobody',
    showLead: 'Show it to the lead',
    hideLead: 'Take it back from the lead',
    better: 'Distance is not fault: the panel had the piece in hand, and panels err too.',
  },
};
