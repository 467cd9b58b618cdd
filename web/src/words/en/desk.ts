import type { CriterionStatus } from '@unhindered/shared-types';
import type { LockCondition } from '@unhindered/shared-types';
import { fitSentences } from './fit.ts';
import { plural } from './plural.ts';

/** Words of the desk, the wall and the record. */
export const deskWords = {
  desk: {
    title: 'Desk',
    start: 'Start round 1, sealed',
    paper: 'Bring in ratings from paper',
    startNone: 'Invite at least one reviewer first.',
    open: 'Open the round',
    openWith: (k: number, n: number) => `Open with ${String(k)} of ${String(n)} finished`,
    openAgain: 'Press again to open',
    openMissing: (who: string) => `Not finished: ${who}.`,
    fit: {
      standings: {
        'not-asked': '',
        ...fitSentences,
        overridden: 'Open without a passed fit check:',
      },
      open: 'Fit check',
      override: 'Go without it',
      reason: 'Reason to go without a passed fit check',
      lead: 'The maker’s instructions come first. The reason stands in the record, the report and the bundle; a later check ends it.',
    },
    pegs: 'Who is in',
    finished: 'finished',
    rating: 'rating',
    seated: 'seated',
    away: 'not connected',
    also: (who: string) => `Moderating too: ${who}`,
    here: 'here now',
    atTheDoor: (n: number) =>
      `${plural(n, 'person waits', 'people wait')} to be let in: open the panel`,
    agenda: 'Agenda',
    queue: 'To be talked through',
    queueOrder: 'Critical failures first, then distance, then weight.',
    queueEmpty: 'Nothing is left to be talked through.',
    queueSealed: 'Comes with the opening.',
    sealed: 'Ratings are hidden until the round is opened. Nothing about them is on this screen.',
    presentHere: 'Show on the wall',
    presented: 'On the wall now',
    adopt: 'Adopt the median',
    again: 'Second round',
    inAgain: 'In the second round',
    decide: 'Decide',
    leaveOpen: 'Leave open',
    value: 'Value, steps or half steps',
    reason: 'Reason, on record',
    settle: 'Settle',
    reopen: 'Reopen',
    reopenReason: 'Why it is reopened',
    adoptAll: (n: number) => `Adopt ${plural(n, 'undisputed task', 'undisputed tasks')}`,
    callRound: (n: number) => `Call the second round on ${plural(n, 'task', 'tasks')}`,
    gate: 'Critical failure',
    gateProposed: (who: string) => `Proposed by ${who}`,
    gateWorst: (who: string) => `Rated as the worst point by ${who}`,
    gateTrials: {
      met: 'The trials meet the criterion.',
      'not-met': 'The trials do not meet the criterion.',
      'not-enough-trials': 'Not enough trials to say whether the criterion is met.',
    } satisfies Record<CriterionStatus, string>,
    gateAnew: 'The trials met the criterion after this was rejected: decide anew.',
    gateOwed: 'You owe a decision.',
    confirm: 'Confirm',
    reject: 'Reject',
    gateReason: 'Reason for confirming or rejecting',
    confirmed: 'Confirmed: care was blocked here',
    rejected: 'Rejected',
    notBacked: 'not backed by trials',
    late: 'Late ratings',
    lateLine: (who: string, made: string, came: string) =>
      `${who}: made ${made} by the device’s clock, arrived ${came}`,
    lateOld: (text: string) => `In the record: ${text}`,
    lateNew: (text: string) => `Late: ${text}`,
    admit: 'Admit',
    leaveOut: 'Leave out',
    admitted: 'admitted',
    leftOut: 'left out',
    agreement: 'Agreement',
    alpha: (v: string) => `Krippendorff’s alpha (ordinal): ${v}`,
    alphaCaveat:
      'It falls when the tasks hardly differ although the panel agrees: read it beside the shares of pairs.',
    within: (w: string, e: string) => `${w} of rating pairs within one step, ${e} the same`,
    noPairs: (why: string) => `Pairs of ratings cannot be compared: ${why}.`,
    few: 'Fewer than three counted reviewers: each can infer what the other rated.',
    lock: 'Lock the evaluation',
    before: 'Before locking',
    conditions: {
      'round-opened': (n: number) => (n > 0 ? 'The round is not open' : 'The round is open'),
      declarations: (n: number) =>
        n > 0 ? `${plural(n, 'moderator has', 'moderators have')} not declared` : 'All declared',
      gates: (n: number) =>
        n > 0
          ? `${plural(n, 'critical failure', 'critical failures')} to decide`
          : 'Critical failures decided',
      late: (n: number) =>
        n > 0 ? `${plural(n, 'late rating', 'late ratings')} to decide` : 'Late ratings decided',
      divergent: (n: number) =>
        n > 0
          ? `${plural(n, 'divergent task', 'divergent tasks')} to settle`
          : 'Divergent tasks settled',
      unsettled: (n: number) =>
        n > 0
          ? `${plural(n, 'undisputed task', 'undisputed tasks')} to adopt`
          : 'Undisputed tasks adopted',
      reviewers: (n: number) =>
        n > 0
          ? 'Fewer than three counted reviewers: the record will say so'
          : 'Three or more counted reviewers',
      endorsements: (n: number) =>
        n > 0
          ? `${plural(n, 'reviewer has', 'reviewers have')} not said whether they would be content to see it worn`
          : 'Every reviewer without a tie said whether they would be content',
    } satisfies Record<LockCondition['id'], (n: number) => string>,
    endorsementWeighs: (share: string) =>
      `This protocol gives those statements ${share} of the composite, and more where sections stay unrated. They enter it at the lock; until then nobody sees who said what. The record has the composite without them as well.`,
    meanwhile: {
      locked: (who: string, at: string) => `${who} locked the evaluation at ${at}.`,
      again: 'Another round was begun meanwhile.',
      gate: (who: string, at: string) => `${who} decided this critical failure at ${at}.`,
      settled: (who: string, at: string) => `${who} settled this task at ${at}.`,
      late: 'Somebody else decided about this late rating.',
      opened: 'The first round was opened meanwhile.',
      overridden: (who: string, at: string) => `${who} gave a reason to go without it at ${at}.`,
      fits: 'A fit check was passed meanwhile.',
      over: 'The evaluation ended meanwhile.',
    },
    lockTitle: 'Lock this evaluation?',
    lockLead:
      'After the lock nothing in it can change. A re-evaluation can follow; nothing is erased.',
    meaning: 'What your signature stands for',
    meaningDefault: 'I led this panel and stand by this record.',
    lockGo: 'Lock and sign',
    keys: 'Keys',
    keysOn: 'Keyboard shortcuts are on',
    keysList: [
      ['J, K', 'next and previous task'],
      ['O', 'open the round (asks)'],
      ['S', 'settle the task'],
      ['R', 'second round for the task'],
      ['W', 'show the task on the wall'],
      ['?', 'this list'],
    ],
    inThisRound: 'in this round',
    settledMark: 'settled',
    divergentMark: 'divergent',
    withdraw: 'Withdraw the evaluation',
    withdrawReason: 'Why it is withdrawn',
  },
  wall: {
    waiting: 'Waiting for the first round',
    more: (n: number) => `and ${String(n)} more to be said of it`,
    sealedFor: (minutes: number) =>
      minutes < 1 ? 'Rating, sealed' : `Rating, sealed for ${plural(minutes, 'minute', 'minutes')}`,
    joinCode: (address: string) => `Code to scan for ${address}`,
    allIn: 'All in',
    join: 'Take a seat at',
    again: 'From the round before',
    opened: 'Opened',
    locked: 'Locked',
    divergent: (n: number) => `${String(n)} to be talked through`,
  },
  record: {
    title: 'Record',
    notYet: 'There is a record once the evaluation is locked.',
    opening: 'The record is being made …',
    again: 'Try again',
    contents: 'In this record',
    invented: 'Invented demonstration material. All names and data are made up.',
    taskColumn: 'Task',
    settledColumn: 'Settled',
    noLine: 'not on the scale',
    files: 'Files',
    download: 'Bundle, signed',
    paper: { a4: 'PDF, A4', letter: 'PDF, Letter' },
    data: 'Data as CSV',
    dataFiles: {
      'ratings.csv': 'Ratings',
      'tasks.csv': 'Tasks',
      'events.csv': 'Events',
      'counted.csv': 'Counted ratings, for “analyse”',
      'dictionary.csv': 'Dictionary of the columns',
    } as Record<string, string>,
    dataHint:
      'Text that a spreadsheet would take for a formula has an apostrophe in front; the dictionary says so too.',
    print: 'Print',
  },
};
