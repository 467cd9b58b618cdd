import type { Effect } from '@unhindered/shared-types';
import { plural } from './plural.ts';
import { choiceWords, furtherFields } from './protocol-choices.ts';
import { faultText } from './protocol-sentences.ts';

const counts = (sections: number, tasks: number): string =>
  `${plural(tasks, 'task', 'tasks')} in ${plural(sections, 'section', 'sections')}`;

/** Words of the list of protocols, of one version, and of what changed between two. */
const listWords = {
  title: 'Protocols',
  lead: 'What panels judge by: tasks, the sentence of every step, weights, rules and cautions. A published version never changes; results are compared under the same version only.',
  loading: 'Reading the protocols …',
  retry: 'Try again',
  version: (v: string) => `Version ${v}`,
  counts,
  shipped: 'came with the program',
  published: (by: string, at: string) => `published by ${by}, ${at}`,
  note: (note: string) => `What is new: ${note}`,
  invented: 'invented material',
  copy: 'Copy to a draft',
  open: 'Open',
  drafts: 'Drafts',
  draftsLead:
    'Seen by the lead and moderators alone. Every change is kept as it is typed; nothing is in use before it is published.',
  noDrafts: 'No draft. Copy a version, or bring a file.',
  untitled: 'Without a title yet',
  savedBy: (by: string, at: string) => `saved by ${by}, ${at}`,
  fromVersion: (id: string, version: string) => `from ${id} ${version}`,
  fromFile: (name: string) => `from the file ${name}`,
  bring: 'Bring a protocol file as a draft',
  bringHint: 'A JSON file of 1 MB at most. It may have faults: the draft lists them all.',
  tooLarge: 'The file is larger than 1 MB. Shorten its texts.',
  notText: 'The file is not UTF-8 text. Save it as UTF-8 and bring it again.',
  schema: 'JSON Schema of protocol files',
  onlyRead: 'The lead and moderators write protocols.',
};

const versionWords = {
  origin: 'Origin',
  hash: 'SHA-256 of its canonical text',
  scale: 'Scale',
  evidence: 'Trials',
  endorsed: (share: string, yes: string, no: string) =>
    `${share} of the composite, more where sections stay unrated; content counts as ${yes} on the scale, not content as ${no}, who says nothing as neither`,
  evidenceBefore: 'shown before rating',
  evidenceAfter: 'kept back until the first opening',
  rounds: 'Rounds at most',
  weight: 'Weight',
  task: 'Task',
  gate: 'can gate',
  weightHint: 'Length from the line: the section’s share of the composite.',
  share: (weight: string, share: string) => `${weight} (${share})`,
  download: 'Download the file',
  cautions: 'Cautions',
  back: 'All protocols',
  compareWith: 'Compare with',
  compare: 'Say what changed',
  nothingElse: 'There is no other version to compare with.',
};

const changeWords = {
  title: (older: string, newer: string) => `What changed from ${older} to ${newer}`,
  none: 'Nothing: both say the same.',
  effects: {
    ratings: 'Ratings do not stay comparable',
    figures: 'Ratings stay comparable, figures made from them do not',
    none: 'Results stay comparable',
  } satisfies Record<Effect, string>,
  count: (n: number) => plural(n, 'change', 'changes'),
};

const editorWords = {
  title: (title: string) => `Draft: ${title}`,
  save: {
    clean: (revision: number, by: string, at: string) =>
      `Saved as revision ${String(revision)} by ${by}, ${at}`,
    saved: (revision: number, at: string) => `Saved as revision ${String(revision)}, ${at}`,
    waiting: 'Typing; saved in a moment',
    saving: 'Saving …',
    offline: 'Not saved: no link to the server. Kept on this device; tried again by itself.',
    refused: 'Not saved. It is kept on this device.',
    conflict: 'Not saved: somebody else changed this draft. Decide below.',
    gone: 'This draft was published or discarded. What you typed last is still here: download it.',
  },
  theirs: (by: string, at: string) => `${by} changed this draft, ${at}. Their text is shown now.`,
  restored: 'What this device had not yet sent is here again.',
  form: 'Form',
  text: 'Text (JSON)',
  view: 'View',
  parts: 'Part of the protocol',
  undo: 'Undo',
  undone: (what: string) => `Undone: ${what}`,
  removed: (what: string) => `${what} is removed. Undo brings it back.`,
  renamed: (from: string, to: string, places: string, more: number) =>
    `“${from}” is called “${to}” now${
      places === ''
        ? '; nothing referred to it'
        : `, also in ${places}${more > 0 ? ` and ${plural(more, 'other place', 'other places')}` : ''}`
    }. Undo takes it back.`,
  renamedTwin: (from: string, to: string) =>
    `This one is called “${to}” now. Another bears “${from}” too, so what refers to “${from}” stays with that one. Undo takes it back.`,
  broken:
    'The text is not JSON, so there is no form. Mend it in the text; the list of faults leads there.',
  toText: 'To the text',
  publish: 'Publish',
  publishTitle: (id: string, version: string) => `Publish ${id} ${version}`,
  publishLead:
    'From then on this version never changes, and every panel here can choose it. Evaluations under way keep theirs.',
  publishNote: 'What is new in it',
  publishFaults: (n: number) =>
    `${plural(n, 'fault', 'faults')} to mend before it can be published.`,
  publishUnsaved: 'It can be published once it is saved.',
  discard: 'Discard',
  discardTitle: 'Discard this draft',
  discardLead: 'It leaves the list for everybody. Its changes stay in the workspace’s log.',
  download: 'Download',
  against: (version: string) => `What changes against ${version}`,
  conflict: {
    title: 'Somebody else changed this draft',
    lead: 'What you typed is kept on this device.',
    theirs: 'Take theirs, and download mine',
    apart: 'Keep mine as a draft of its own',
    over: 'Put mine in the place of theirs',
  },
};

const faultWords = {
  title: 'Check',
  checking: 'Checking …',
  none: 'No fault. It can be published.',
  count: (n: number) => plural(n, 'fault', 'faults'),
  more: (n: number) => `${String(n)} more; mend these first.`,
  go: 'Go there',
  line: (line: number) => `line ${String(line)}`,
  whole: 'The file',
  here: (fault: string, remedy: string) => `${faultText(fault)}. ${faultText(remedy)}`,
};

const partWords = {
  about: 'Title and version',
  scale: 'Scale',
  states: 'Equipment states',
  tools: 'Tools',
  measures: 'Measures',
  sections: 'Sections and weights',
  section: (letter: string, title: string) => `${letter} ${title}`,
  task: (title: string) => `– ${title}`,
  ladders: 'Technique ladders',
  rules: 'Rules: divergence, gate, rounds',
  cautions: 'Cautions',
};

const listEditWords = {
  up: (what: string) => `Move ${what} up`,
  down: (what: string) => `Move ${what} down`,
  remove: (what: string) => `Remove ${what}`,
  upShort: 'Up',
  downShort: 'Down',
  removeShort: 'Remove',
  openShort: 'Open',
  open: (what: string) => `Open ${what}`,
  addTo: 'Add',
  choose: 'choose',
  nothing: 'None.',
  criterionHint:
    'The sentence above stays the rule; numbers let measured trials answer it, in the unit of the measure.',
  entries: {
    of: 'condition',
    states: 'state',
    tools: 'tool',
    measures: 'measure',
    sections: 'section',
    tasks: 'task',
    ladders: 'ladder',
    rungs: 'rung',
    points: 'point',
  } as Record<string, string>,
  add: (entry: string) => `Add a ${entry}`,
  entry: (entry: string, n: number) => `${entry} ${String(n)}`,
  named: (entry: string, name: string) => `${entry} “${name}”`,
  anEntry: 'entry',
  fill: 'Add the missing sentences',
  idShape:
    'Small letters a to z, digits and hyphens, 64 at most, beginning with a letter or digit. Nothing was renamed.',
  measureIdShape:
    'Letters a to z, digits, hyphens and underscores, 64 at most, beginning with a small letter. Nothing was renamed.',
  idTaken: (id: string, place: string) =>
    `“${id}” is the id of ${place}. Nothing was renamed: write another id, or rename that one first.`,
  weightShare: (weight: string, share: string) => `weight ${weight}, ${share} of the composite`,
  taskShare: (weight: string, share: string) => `weight ${weight}, ${share} of its section`,
};

const fieldWords: Record<string, string> = {
  ...furtherFields,
  id: 'Id',
  version: 'Version',
  title: 'Title',
  invented: 'Invented demonstration material: every screen and file then says so',
  evidenceBeforeRating: 'Reviewers see trials before they rate',
  min: 'Lowest point',
  max: 'Highest point',
  better: 'Better end',
  datum: 'Point that means “as without the equipment”; empty for none',
  easierTick: 'Sentence of the tick offered there; empty for none',
  value: 'Value',
  word: 'Word',
  meaning: 'Meaning',
  letter: 'Letter',
  weight: 'Weight',
  basis: 'Basis',
  optional: 'Optional',
  state: 'Rated in the state',
  does: 'What is done',
  anchors: 'What each step means here',
  critical: 'Critical failure: the criterion of its trials; empty when it can never gate',
  onVideo: 'Can be judged on video',
  notApplicable: 'When it does not apply',
  caution: 'Caution',
  tools: 'Tools used',
  measures: 'Measures',
  name: 'Name',
  symbol: 'Symbol',
  unit: 'Unit',
  decimals: 'Decimals',
  rejectMin: 'Refused below',
  rejectMax: 'Refused above',
  warnMin: 'Asked about below',
  warnMax: 'Asked about above',
  threshold: 'Threshold as published; empty for none',
  source: 'Source of the threshold',
  goal: 'Goal',
  task: 'Technique (a task)',
  capSeconds: 'Given up after, seconds; empty for never',
  lone: 'Lone voice: points from the median of the others',
  split: 'Split panel: average deviation above, points; empty when unused',
  minValidTrials: 'Critical failure: valid trials at least',
  minShareOfValidTrials: 'Critical failure: share of them at least, 0 to 1',
  limit: 'Limit',
  scope: 'What this is and is not',
  thresholds: 'Thresholds',
  session: 'The day',
  gate: 'Critical failures',
  comparison: 'Comparisons',
  removal: 'Removing equipment',
  remote: 'Rating from afar',
  skills: 'Skills needed',
  incident: 'Incidents',
  consent: 'Consent',
  divergenceRule: 'Divergence rule',
  rest: 'Rest between trials',
  evidence: 'Trials that speak against a rating',
  evidenceBetter: 'Trial criterion met, rating nearer than this to the best point',
  endorsement: 'Endorsements',
  endorsementWeight: 'Weight, in the unit of the sections’ weights',
  content: 'Point of the scale for “content”',
  notContent: 'Point of the scale for “not content”',
  evidenceWorst: 'Every trial done, rating this near to the worst point',
};

/** Words of the protocols' screens. */
export const protocolWords = {
  list: listWords,
  version: versionWords,
  changes: changeWords,
  editor: editorWords,
  faults: faultWords,
  parts: partWords,
  edit: listEditWords,
  fields: fieldWords,
  choices: choiceWords,
  anchor: (point: string, word: string) => (word === '' ? point : `${point} ${word}`),
  rules: {
    rest: 'Rest between trials that tire',
    divergence: 'When ratings diverge',
    gate: 'When trials propose a critical failure',
    endorsement: 'Whether reviewers would be content to see it worn',
    endorsementHint:
      'With a weight, the statements enter the composite as one more section. Who says nothing counts as neither; who has a declared tie does not count. The record always gives the composite without them as well.',
    rounds: 'Rounds and trials',
    caution:
      'Constants decide what a panel talks about and what can block a result. Change them for a reason, and say it in the note.',
  },
  cautionsLead:
    'They stand where people read them during the work. Local protocol, medical direction and licensed practice come first; a caution must not say otherwise.',
};
