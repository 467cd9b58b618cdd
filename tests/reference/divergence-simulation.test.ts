import { expect, test } from 'vitest';
import earlier from '../../fixtures/reference/divergence-simulation.json' with { type: 'json' };
import { seededRandom } from '../../server/src/rehearse/random.ts';
import { divergenceRules } from '../support/divergence-rules.ts';
import { simulatedPanel } from '../support/simulated-panels.ts';

const PANELS = 1500;
const SEED = 7;

/** Five standard errors of a share of so many panels, and half a percent that the table rounds away. */
const allowed = (percent: number): number => {
  const p = Math.min(0.97, Math.max(0.03, percent / 100));
  return 5 * 100 * Math.sqrt((p * (1 - p)) / PANELS) + 0.5;
};

/** The rules a protocol may choose; `npm run simulate` prints all of them with 30,000 panels a cell. */
test.each(['D1: LOO >= 2.5 or AD_Md > A/6', 'range >= 3', 'max abs(x - median) >= 3'])(
  'false flags and dissent found by "%s" are those of an earlier simulation',
  (name) => {
    const random = seededRandom(SEED);
    const published = earlier.rules.find((r) => r.rule === name);
    earlier.scenarios.forEach((scenario, s) => {
      earlier.reviewers.forEach((k, i) => {
        let flagged = 0;
        for (let n = 0; n < PANELS; n++) {
          if (divergenceRules[name]?.(simulatedPanel(scenario, k, random)) === true) flagged++;
        }
        const found = (100 * flagged) / PANELS;
        const expected = published?.flagged[s]?.[i] ?? Number.NaN;
        const where = `${scenario.name}, ${String(k)} reviewers: ${String(found)} against ${String(expected)}`;
        expect(Math.abs(found - expected), where).toBeLessThan(allowed(expected));
      });
    });
  },
);
