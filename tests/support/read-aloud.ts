import type { Page } from 'playwright-core';

/** One line of the browser's accessibility tree as somebody hears it: what it is, its name, its state. */
const heard = (line: string): string => {
  const [, depth = '', role = '', name = '', marks = '', text = ''] =
    /^(\s*)- (?:'?)([\w/]+)(?: "((?:[^"\\]|\\.)*)")?((?: \[[^\]]+\])*)'?:?(?: (.*))?$/u.exec(
      line,
    ) ?? [];
  if (role === '' || role === '/url') return '';
  const states = [...marks.matchAll(/\[([^\]]+)\]/gu)].map((m) => (m[1] ?? '').replace('=', ' '));
  const what = role === 'text' ? '' : [role, ...states].join(', ');
  const said = [name.replaceAll('\\"', '"'), text.replace(/^"|"$/gu, '')]
    .filter((s) => s !== '')
    .join(' ');
  return `${depth}${[what, said].filter((s) => s !== '').join(': ')}`;
};

/**
 * The page as a screen reader goes through it, from top to bottom, one sentence a line: the accessibility tree that the
 * browser makes, without what differs from run to run (times, digests).
 */
export const readAloud = async (page: Page): Promise<string> => {
  const tree = await page.locator('body').ariaSnapshot();
  const lines = tree
    .split('\n')
    .map(heard)
    .filter((line) => line.trim() !== '')
    .map((line) =>
      line.replace(/\d{1,2}:\d{2}:\d{2}/gu, '(time)').replace(/\b[0-9a-f]{16,}\b/gu, '(digest)'),
    );
  return `${lines.join('\n')}\n`;
};
