import { plural } from './plural.ts';

/** Words of the screen that brings ratings in from paper. */
export const paperWords = {
  paper: {
    title: 'Ratings from paper',
    lead: 'For a panel that rated on paper. The record and every figure will say “imported from paper”: these ratings were never sealed by this program.',
    rules: [
      'Only before the first round, once, and instead of it: no round on devices can follow.',
      'The file’s name, its SHA-256, its number of lines, you and the time stand in the trail. The file itself is not kept: keep it, and the sheets of paper, yourself.',
      'The ratings are shown to everybody in the evaluation at once.',
    ],
    columns: 'What the file has to look like',
    columnsLead:
      'CSV in UTF-8; comma, semicolon or tab. The first line names the columns; the order does not matter.',
    need: 'Needed: task (its id or title), reviewer, rating (a whole point of the scale; N/A with a reason; blank for none).',
    may: 'May be there: round, answer, easier (yes or no), reason, critical (why a critical failure is proposed), note, rated_at. Files of the open data can be taken as they are.',
    choose: 'Choose the file',
    another: 'Choose another file',
    tooBig: 'The file is longer than 2 MB. One file holds one panel’s ratings.',
    checking: 'Reading the file …',
    nothing: 'Nothing has been brought in yet.',
    facts: (rows: number, people: number, tasks: number, of: number, rounds: number) =>
      `${plural(rows, 'line', 'lines')}; ratings of ${plural(people, 'person', 'people')} on ${String(tasks)} of ${plural(of, 'task', 'tasks')}, ${plural(rounds, 'round', 'rounds')}.`,
    empty: (n: number) => `${plural(n, 'line has', 'lines have')} no standing rating.`,
    ignored: (names: string) =>
      `Not needed and not read: ${names}. Sections and weights are the protocol’s.`,
    faults: (n: number) => plural(n, 'fault', 'faults'),
    faultsLead: 'Mend them in the file and choose it again.',
    faultsShown: (n: number) => `The first ${String(n)} are shown.`,
    whole: 'Nothing of this file can be brought in as it is.',
    head: { line: 'Line', column: 'Column', fault: 'What is wrong', remedy: 'What to do' },
    without: (n: number) =>
      `Go without the ${plural(n, 'faulty line', 'faulty lines')}. The trail and the record will list them.`,
    people: 'Who is who',
    peopleLead:
      'A person on paper gets a seat that nobody can sit on, with a letter, in this evaluation alone. Match a name to a reviewer’s seat only if it is the same person.',
    ratings: (n: number) => plural(n, 'rating', 'ratings'),
    own: 'A seat from paper',
    seat: (letter: string | null, name: string) =>
      `Same person as reviewer ${letter ?? ''}, ${name}`,
    fit: 'The first round cannot open yet: record a fit check that passes, or go without one with a reason.',
    toFit: 'Fit check',
    sure: 'I have these ratings as their reviewers wrote them.',
    go: (n: number) => `Bring in ${plural(n, 'rating', 'ratings')} from paper`,
    sureNeeded: 'Say that these are the ratings as they were written.',
    back: 'Back to the desk',
    late: 'This evaluation has begun: ratings from paper can only come before its first round. Make another evaluation for them.',
    done: (file: string) => `The ratings of this evaluation came from paper, from “${file}”.`,
  },
};
