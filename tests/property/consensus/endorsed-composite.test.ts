import fc from 'fast-check';
import { expect, test } from 'vitest';
import { composite } from '../../../server/src/consensus/composite.ts';
import { endorsedComposite } from '../../../server/src/consensus/endorsed-composite.ts';
import { compositeFigures } from '../../../server/src/verify/figures/composite.ts';
import { emptyReplay } from '../../../server/src/verify/replay.ts';
import { decimal12, type Protocol } from '../../../shared-types/src/index.ts';
import { runs } from '../../support/rating-tables.ts';
import { near } from '../../support/reference.ts';

const weights = fc.array(fc.integer({ min: 1, max: 20 }), { minLength: 1, maxLength: 5 });
const halves = fc.option(
  fc.integer({ min: 0, max: 10 }).map((x) => x / 2),
  { nil: undefined },
);
const cases = fc
  .record({
    weights,
    values: fc.array(halves, { minLength: 5, maxLength: 5 }),
    weight: fc.integer({ min: 0, max: 40 }),
    content: fc.integer({ min: 0, max: 9 }),
    notContent: fc.integer({ min: 0, max: 9 }),
  })
  .map(({ weights: w, values, ...rest }) => ({
    ...rest,
    sections: w.map((weight, i) => ({
      id: `s${String(i)}`,
      weight,
      tasks: [{ id: `t${String(i)}`, weight: 1 }],
    })),
    value: (task: string) => values[Number(task.slice(1))],
  }));
type Case = ReturnType<typeof cases.generate>['value'];

const both = (c: Case) => {
  const plain = composite(c.sections, c.value);
  const rule = { weight: c.weight, content: 0, notContent: 5 };
  return { plain, found: endorsedComposite(plain, c.sections, rule, c) };
};

test('CO-6: with weight 0 or without a statement the composite is what it is without them, to the last bit', () => {
  fc.assert(
    fc.property(cases, (c) => {
      for (const unmoved of [
        { ...c, weight: 0 },
        { ...c, content: 0, notContent: 0 },
      ]) {
        const { plain, found } = both(unmoved);
        expect(found.value).toEqual(plain.value);
        expect(found.sections).toEqual(plain.sections.map((s) => s.weight));
      }
    }),
    runs(),
  );
});

test('CO-6: it lies between the composite and the statements, in the ratio of their shares, which add up to 1', () => {
  fc.assert(
    fc.property(cases, (c) => {
      const { plain, found } = both(c);
      expect(found.value.ok).toBe(plain.value.ok);
      if (!found.value.ok || !plain.value.ok || !found.endorsement.ok) return;
      const { share } = found;
      const mixed = (1 - share) * plain.value.value + share * found.endorsement.value;
      near(found.value.value, mixed, 'mixed', 1e-12);
      near(
        found.sections.reduce((sum, w) => sum + w, share),
        1,
        'shares',
        1e-12,
      );
    }),
    runs(),
  );
});

test('CO-6: the verifier computes the same by code of its own', () => {
  fc.assert(
    fc.property(cases, (c) => {
      const { plain, found } = both(c);
      const r = emptyReplay();
      const seats = Array.from({ length: c.content + c.notContent }, (_, i) => `st_${String(i)}`);
      for (const [i, seat] of seats.entries()) {
        r.seats.set(seat, { role: 'reviewer', nameHash: '', revoked: false, excluded: [] });
        r.endorsements.set(seat, i < c.content);
      }
      const endorsement = { weight: c.weight, content: 0, notContent: 5 };
      const p = { sections: c.sections, endorsement } as unknown as Protocol;
      const settled = new Map(
        c.sections.flatMap(({ tasks: [t] }) => {
          const value = t && c.value(t.id);
          return t && value !== undefined ? [[t.id, value] as const] : [];
        }),
      );
      const theirs = compositeFigures(r, p, seats, settled);
      const same = (
        text: { value: string } | { undefinedBecause: string },
        own: typeof plain.value,
      ) => {
        if (own.ok && 'value' in text) near(Number(text.value), own.value, 'figure', 1e-11);
        else expect(text).toEqual(own.ok ? own : { undefinedBecause: own.why });
      };
      same(theirs.value, found.value);
      same(theirs.endorsement?.without ?? { value: '' }, plain.value);
      same(theirs.endorsement?.value ?? { value: '' }, found.endorsement);
      expect(theirs.endorsement).toMatchObject({ content: c.content, notContent: c.notContent });
      near(Number(theirs.endorsement?.weight), found.share, 'share', 1e-11);
      expect(theirs.weightUsed).toBe(decimal12(plain.weightUsed));
    }),
    runs(),
  );
});
