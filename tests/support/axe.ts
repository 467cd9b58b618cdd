import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

const source = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** What axe finds wrong with a page, rule and place; WCAG 2.2 A and AA. */
export const axeViolations = async (page: Page): Promise<string[]> => {
  await page.evaluate(source);
  return page.evaluate(async () => {
    const { axe } = globalThis as unknown as {
      axe: {
        run: (options: object) => Promise<{
          violations: { id: string; nodes: { target: unknown[]; failureSummary?: string }[] }[];
        }>;
      };
    };
    const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];
    const { violations } = await axe.run({ runOnly: { type: 'tag', values: tags } });
    return violations.flatMap((v) =>
      v.nodes.map((n) => `${v.id} at ${n.target.join(' ')}: ${n.failureSummary ?? ''}`),
    );
  });
};
