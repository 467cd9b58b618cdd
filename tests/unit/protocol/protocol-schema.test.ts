import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from 'fast-check';
import * as v from 'valibot';
import { describe, expect, test } from 'vitest';
import { protocol } from '../../../shared-types/src/index.ts';
import standard from '../../../server/src/protocol/default-protocol.json' with { type: 'json' };
import { protocolSchema } from '../../../server/src/protocol/protocol-schema.ts';

const ajv = new Ajv2020({ strict: true, strictTypes: false });
const takes = ajv.compile(protocolSchema() as Record<string, unknown>);

type Way = (string | number)[];
const set = (way: Way, value: unknown): unknown => {
  const copy = structuredClone(standard) as unknown as Record<string | number, unknown>;
  let owner = copy;
  for (const key of way.slice(0, -1)) owner = owner[key] as Record<string | number, unknown>;
  const last = way.at(-1) ?? '';
  if (value === undefined) Reflect.deleteProperty(owner, last);
  else owner[last] = value;
  return copy;
};

/** The way to everything in a value, lists and objects included. */
const ways = (value: unknown, way: Way = []): Way[] => [
  ...(way.length > 0 ? [way] : []),
  ...(typeof value === 'object' && value !== null
    ? Object.entries(value).flatMap(([k, inner]) =>
        ways(inner, [...way, Array.isArray(value) ? Number(k) : k]),
      )
    : []),
];
const all = ways(standard);

/** Rules of the whole scale, which no JSON Schema says: its description names them. */
const scaleRule = (value: unknown): boolean =>
  !v
    .safeParse(protocol, value)
    .issues?.every((i) => i.type === 'check' && i.path?.at(-1)?.key === 'scale');

describe('PR-5: the published JSON Schema takes and refuses what the check of shape does', () => {
  test('PR-5: it is of draft 2020-12 and takes the shipped protocol', () => {
    expect(protocolSchema()).toMatchObject({
      $schema: 'https://json-schema.org/draft/2020-12/schema',
    });
    expect(takes(standard)).toBe(true);
    expect(protocolSchema().description).toMatch(/protocol check/u);
  });

  test('PR-5: any part put wrong anywhere, taken out, or of another kind', () => {
    const wrong = fc.constantFrom<unknown>(
      ...[undefined, null, true, '', ' ', '\u0007', 'x'.repeat(61), 'x'.repeat(2001)],
      ...[-1, 0, 1, 1.5, 7, 1e7, [], ['x'], {}, { more: 1 }, 'D1', '1.2.3', 'as-worn'],
    );
    let refused = 0;
    fc.assert(
      fc.property(fc.constantFrom(...all), wrong, (way, value) => {
        const changed = set(way, value);
        const good = v.is(protocol, changed);
        if (!good && !scaleRule(changed)) return;
        if (!good) refused++;
        expect(takes(changed), `${way.join('/')} = ${JSON.stringify(value)}`).toBe(good);
      }),
      { numRuns: 600 },
    );
    expect(refused).toBeGreaterThan(100);
  });

  test.each([
    ['a title at its longest', ['title'], 'é'.repeat(120), true],
    ['one beyond it', ['title'], 'é'.repeat(121), false],
    ['signs of two units counted as one', ['title'], '🏈'.repeat(120), true],
    ['white space around, and in runs', ['title'], `  ${'a   '.repeat(60)}  `, true],
    ['nothing but white space', ['title'], ' \n ', false],
    ['a line feed in a caution', ['cautions', 'scope'], 'One.\nTwo.', true],
    ['a carriage return in a caution', ['cautions', 'scope'], 'One.\rTwo.', false],
    ['a carriage return in a line', ['title'], 'One\rTwo', true],
    ['a direction override', ['title'], 'One\u202etwo', false],
    ['a caution at its longest, padded', ['cautions', 'scope'], ` ${'a'.repeat(1000)} `, true],
    ['one beyond it', ['cautions', 'scope'], 'a'.repeat(1001), false],
    ['an unknown key', ['colour'], 1, false],
    ['a version of two parts', ['version'], '1.0', false],
  ] as [string, Way, unknown, boolean][])('PR-5: %s', (_name, way, value, good) => {
    const changed = set(way, value);
    expect(v.is(protocol, changed)).toBe(good);
    expect(takes(changed)).toBe(good);
  });
});
