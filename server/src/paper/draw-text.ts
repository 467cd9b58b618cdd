import { BODY, type Element, type PageFlow, type Style } from './page-flow.ts';

interface Placed {
  style?: Style;
  x?: number;
  width?: number;
  /** Space after, points. */
  after?: number;
}

/** Draws text across pages as far as it reaches; returns its content, one piece for each page. */
export const textContent = (flow: PageFlow, tag: string, text: string, placed: Placed = {}) => {
  const { style = BODY, x = flow.left, width = flow.width, after = 5 } = placed;
  const lines = flow.lines(text, style, width);
  const pieces: ReturnType<PageFlow['content']>[] = [];
  let at = 0;
  // A single line is not left alone at the foot of a page.
  flow.ensure(Math.min(2, lines.length) * style.leading);
  while (at < lines.length) {
    const fits = Math.max(1, Math.floor((flow.bottom - flow.y) / style.leading));
    // Nor at the head of the next one.
    const room = fits > 2 && lines.length - at - fits === 1 ? fits - 1 : fits;
    const here = lines.slice(at, at + room);
    const last = at + here.length >= lines.length;
    pieces.push(
      flow.content(tag, () => {
        here.forEach((line, i) => {
          flow.line(line, x, flow.y + i * style.leading, style, !(last && i === here.length - 1));
        });
      }),
    );
    flow.y += here.length * style.leading;
    at += here.length;
    if (!last) flow.newPage();
  }
  flow.y += after;
  return pieces;
};

/** A paragraph. */
export const drawText = (flow: PageFlow, parent: Element, text: string, placed?: Placed): void => {
  parent.add(flow.element('P', {}, textContent(flow, 'P', text, placed)));
};

const INDENT = 12;

/** A list with a dash before each item. */
export const drawList = (flow: PageFlow, parent: Element, items: readonly string[]): void => {
  const list = flow.list();
  for (const item of items) {
    flow.ensure(BODY.leading);
    const label = flow.content('Lbl', () => flow.line('–', flow.left, flow.y, BODY));
    const body = textContent(flow, 'LBody', item, {
      x: flow.left + INDENT,
      width: flow.width - INDENT,
      after: 2,
    });
    list.add(
      flow.element('LI', {}, [flow.element('Lbl', {}, [label]), flow.element('LBody', {}, body)]),
    );
  }
  list.end();
  parent.add(list);
  flow.y += 4;
};
