import type { HostileCase, Outcome } from './case.ts';

export type Verdict = 'holds' | 'fails' | 'unobserved';

export interface AssertResult {
  name: string;
  verdict: Verdict;
  /** What was seen, or why nothing can be. */
  seen: string;
}

/** Collects what was observed of one case; an assert that nothing was said about is unobserved, never passed. */
export class Judgement {
  readonly hostile: HostileCase;
  readonly #results = new Map<string, AssertResult>();
  outcome: Outcome | undefined;
  /** Words that went back to the sender, for the checks on disclosure and clearness. */
  readonly answers: string[] = [];

  constructor(hostile: HostileCase) {
    this.hostile = hostile;
  }

  /** States whether an assert holds; a later observation can only make it worse. */
  observe(name: string, holds: boolean, seen: string): void {
    if (this.#results.get(name)?.verdict === 'fails') return;
    this.#results.set(name, { name, verdict: holds ? 'holds' : 'fails', seen });
  }

  /** Says why an assert cannot be observed. */
  unobserved(name: string, why: string): void {
    if (!this.#results.has(name))
      this.#results.set(name, { name, verdict: 'unobserved', seen: why });
  }

  wants(name: string): boolean {
    return this.hostile.asserts.includes(name);
  }

  /** Every assert of the case, once each. */
  results(): AssertResult[] {
    return [...new Set(this.hostile.asserts)].map(
      (name) =>
        this.#results.get(name) ?? {
          name,
          verdict: 'unobserved',
          seen: 'the adapter has no check',
        },
    );
  }

  /** Faults of the case as stated: outcome and failed asserts. */
  faults(): string[] {
    const wrong = this.results().filter((r) => r.verdict === 'fails');
    const outcome = this.outcome ?? 'nothing observed';
    const expected: string[] = this.hostile.expect;
    return [
      ...(expected.includes(outcome) ? [] : [`outcome ${outcome}, not ${expected.join(' or ')}`]),
      ...wrong.map((r) => `${r.name}: ${r.seen}`),
    ];
  }
}

/** Signs of the inside of a program in an answer: a stack, a path, SQL. */
const INSIDE =
  /\n\s+at .+:\d+|node_modules|\/(?:tmp|home|root|work|usr)\/|[A-Z]:\\\\|SQLITE_|\bSELECT\b.+\bFROM\b|\.ts:\d+/u;

/** What an answer tells that it must not: the inside of the program, or one of the given secrets. */
export const disclosed = (answers: readonly string[], secrets: readonly string[]): string[] => [
  ...answers.filter((a) => INSIDE.test(a)).map((a) => `the inside: ${a.slice(0, 200)}`),
  ...secrets
    .filter((s) => s !== '' && answers.some((a) => a.includes(s)))
    .map((s) => `a secret ${s}`),
];
