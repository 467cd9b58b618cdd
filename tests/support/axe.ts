import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

const source = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

const WCAG = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];
/** Beside the rules of WCAG also what is only good practice: landmarks, order of headings, one main part. */
export const STRICT = [...WCAG, 'best-practice'];

/** What axe finds wrong with a page, rule and place; WCAG 2.2 A and AA unless other tags are named. */
export const axeViolations = async (
  page: Page,
  tags: readonly string[] = WCAG,
): Promise<string[]> => {
  await page.evaluate(source);
  return page.evaluate(
    async (values) => {
      const { axe } = globalThis as unknown as {
        axe: {
          run: (options: object) => Promise<{
            violations: { id: string; nodes: { target: unknown[]; failureSummary?: string }[] }[];
          }>;
        };
      };
      const { violations } = await axe.run({ runOnly: { type: 'tag', values } });
      return violations.flatMap((v) =>
        v.nodes.map((n) => `${v.id} at ${n.target.join(' ')}: ${n.failureSummary ?? ''}`),
      );
    },
    [...tags],
  );
};
