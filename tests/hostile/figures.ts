import type { Corpus, HostileCase } from './case.ts';
import type { CaseChange } from './changes.ts';
import type { Judgement } from './judgement.ts';

/** Counts of one run. */
export class Tally {
  asStated = 0;
  changed = 0;
  notApplicable = 0;
  readonly failed: string[] = [];
  checked = 0;
  readonly unobserved: string[] = [];

  take(judged: Judgement, change: CaseChange | undefined): void {
    for (const { name, verdict, seen } of judged.results()) {
      if (verdict === 'unobserved') this.unobserved.push(`${judged.hostile.id} ${name}: ${seen}`);
      else this.checked++;
    }
    const faults = judged.faults();
    if (change) this.changed++;
    else if (faults.length === 0) this.asStated++;
    else this.failed.push(`${judged.hostile.id} ${judged.hostile.title}: ${faults.join('; ')}`);
  }

  /** The case could not be played to its end. */
  broken(hostile: HostileCase, error: unknown): void {
    this.failed.push(`${hostile.id} ${hostile.title}: ${String(error)}`);
    for (const name of new Set(hostile.asserts)) {
      this.unobserved.push(`${hostile.id} ${name}: not played to the end`);
    }
  }

  skip(hostile: HostileCase): void {
    this.notApplicable++;
    for (const name of new Set(hostile.asserts)) {
      this.unobserved.push(`${hostile.id} ${name}: not applicable`);
    }
  }

  get cases(): number {
    return this.asStated + this.changed + this.notApplicable + this.failed.length;
  }
}

const quantile = (values: readonly number[], q: number): string =>
  (values.toSorted((a, b) => a - b)[Math.floor(values.length * q)] ?? 0).toFixed(1);

/** The figures of a run, for a person. */
export const figures = (
  tally: Tally,
  corpus: Corpus,
  whole: number,
  times: { bystander: readonly number[]; worstStallMs: number },
): string => {
  const missing = whole - tally.cases;
  const { bystander, worstStallMs } = times;
  return [
    '',
    `hostile inputs: ${String(tally.cases)} cases: ${String(tally.asStated)} as stated, ` +
      `${String(tally.changed)} changed on purpose, ${String(tally.notApplicable)} not applicable, ` +
      `${String(tally.failed.length)} FAILED`,
    `asserts: ${String(tally.checked)} checked, ${String(tally.unobserved.length)} unobserved`,
    ...tally.unobserved.map((line) => `  unobserved: ${line}`),
    ...tally.failed.map((line) => `  FAILED: ${line}`),
    `reviewer next door: ${String(bystander.length)} edits acknowledged, p95 ${quantile(bystander, 0.95)} ms ` +
      `(goal 250), slowest ${quantile(bystander, 0.9999)} ms; longest stall of the server ${worstStallMs.toFixed(0)} ms`,
    ...(missing > 0
      ? [
          `NOT RUN: ${String(missing)} of ${String(whole)} cases.` +
            (corpus.whole
              ? ''
              : ' `npm run hostile` plays them all, with the corpus beside the repository (../shared/corpus/open).'),
        ]
      : []),
  ].join('\n');
};
