import { seededChance } from '../../server/src/analysis/seeded-chance.ts';
import { accessFigures, ACCESS_TIMES } from '../../server/src/measures/access-figures.ts';
import type { RungTrial } from '../../server/src/measures/rung.ts';

/**
 * How often the 95 % limits of the time to access hold the truth, by number of operators and trials: an invented
 * ladder of two techniques, operators who differ in speed and skill. Limits that could not be given count as a miss,
 * and are printed apart. Run: npx tsx tests/bench/ladder-coverage.ts (minutes); PANELS=n, SEED=n.
 */
const PANELS = Number(process.env['PANELS'] ?? 150);
const SEED = Number(process.env['SEED'] ?? 77);
const REPLICATES = 200;
const CAP = 180;

const next = seededChance(SEED).stream();
const normal = (): number => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());

interface Person {
  speed: number;
  skill: number;
}
const person = (): Person => ({ speed: 0.3 * normal(), skill: 0.6 * normal() });
const trial = (of: Person, seconds: number, ease: number, operator: string): RungTrial => {
  const works = next() < 1 / (1 + Math.exp(-(ease + of.skill)));
  const took = Math.round(10 * seconds * Math.exp(of.speed + 0.3 * normal())) / 10;
  if (works && took < CAP) return { operator, seconds: took, done: true };
  return { operator, seconds: works ? CAP : Math.round(60 + 60 * next()), done: false };
};
const FIRST = [40, 1] as const;
const SECOND = [50, 1.5] as const;

const CASES = 200_000;
const truth = ACCESS_TIMES.map(() => 0);
for (let i = 0; i < CASES; i += 1) {
  const first = trial(person(), ...FIRST, '');
  const second = trial(person(), ...SECOND, '');
  const access = first.done
    ? first.seconds
    : second.done
      ? first.seconds + second.seconds
      : Infinity;
  ACCESS_TIMES.forEach((t, k) => {
    if (access <= t) truth[k] = (truth[k] ?? 0) + 1 / CASES;
  });
}
const shown = (x: readonly number[]): string => x.map((v) => v.toFixed(2)).join(' ');
process.stdout.write(
  `by ${ACCESS_TIMES.join(', ')} s; truth ${shown(truth)}; seed ${String(SEED)}\n`,
);

for (const [operators, each] of [
  [3, 1],
  [3, 3],
  [5, 3],
  [8, 1],
  [8, 3],
  [15, 1],
  [15, 3],
] as const) {
  const held = truth.map(() => 0);
  const none = truth.map(() => 0);
  for (let panel = 0; panel < PANELS; panel += 1) {
    const people = Array.from({ length: operators }, person);
    const rung = (id: string, of: readonly [number, number]) => ({
      id,
      capSeconds: CAP,
      trials: people.flatMap((p, i) =>
        Array.from({ length: each }, () => trial(p, ...of, String(i))),
      ),
    });
    const found = accessFigures([rung('first', FIRST), rung('second', SECOND)], next, REPLICATES);
    found.by.forEach(({ limits }, k) => {
      const p = truth[k] ?? 0;
      if (!limits.ok) none[k] = (none[k] ?? 0) + 1 / PANELS;
      else if (limits.value.lower <= p && p <= limits.value.upper) {
        held[k] = (held[k] ?? 0) + 1 / PANELS;
      }
    });
  }
  process.stdout.write(
    `${String(operators)} operators x ${String(each)}: held ${shown(held)}; not given ${shown(none)}\n`,
  );
}
