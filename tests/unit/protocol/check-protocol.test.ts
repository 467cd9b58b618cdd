import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import * as v from 'valibot';
import { protocolTasks, text } from '../../../shared-types/src/index.ts';
import { eventText } from '../../../server/src/audit/event-text.ts';
import { checkProtocol } from '../../../server/src/protocol/check-protocol.ts';
import { jsonFault } from '../../../server/src/protocol/json-fault.ts';
import { protocolText } from '../../../server/src/protocol/protocol-text.ts';
import defaultProtocol from '../../../server/src/protocol/default-protocol.json' with { type: 'json' };

const good = JSON.stringify(defaultProtocol, null, 1);
const faults = (source: string): string[] => {
  const checked = checkProtocol(source);
  return checked.ok ? [] : checked.faults.map((f) => `${f.place}: ${f.fault}`);
};

test('PR-1: the shipped protocol has 30 tasks in 10 sections with weights of 100, and one hash', () => {
  const checked = checkProtocol(good);
  if (!checked.ok) throw new Error(faults(good).join('\n'));
  const { protocol } = checked;
  expect(protocolTasks(protocol)).toHaveLength(30);
  expect(protocol.sections.map((s) => s.weight)).toEqual([6, 10, 20, 14, 13, 11, 12, 8, 4, 2]);
  expect(protocolTasks(protocol).filter((t) => t.critical !== null)).toHaveLength(19);
  expect(protocolTasks(protocol).every((t) => t.anchors.length === 6)).toBe(true);
  const shuffled = Object.fromEntries(Object.entries(protocol).toReversed()) as typeof protocol;
  expect(protocolText(shuffled).hash).toBe(protocolText(protocol).hash);
});

describe('PR-2: every fault with its place', () => {
  test.each([
    [
      'a key that stands twice',
      good.replace('"version": "1.0.0"', '"version": "1.0.0", "version": "1.0.1"'),
      /\/version.*twice/u,
    ],
    [
      'an unknown key',
      good.replace('"invented": false', '"invented": false, "colour": 1'),
      /colour/u,
    ],
    [
      'a tool that does not exist',
      good.replace('"tools": [\n      "shears"\n     ]', '"tools": ["axe"]'),
      /no tool "axe"/u,
    ],
    [
      'a missing anchor',
      good.replace(/"anchors": \[\n\s+"[^"]+",/u, '"anchors": ['),
      /5 anchors for 6 points/u,
    ],
    [
      'a weight below zero',
      good.replace('"weight": 6', '"weight": -6'),
      /\/sections\/0\/weight \(line \d+/u,
    ],
    [
      'a criterion of a measure that the task does not take',
      good.replace('"measure": "t_pulse"', '"measure": "t_fm"'),
      /tasks\/0\/criterion \(line \d+.*the criterion asks for the measure "t_fm", which the task does not take/u,
    ],
    [
      'a time asked of a measure in degrees',
      good.replace(
        /"kind": "above",(\s+"measure": "theta_max",\s+)"limit": 20/u,
        '"kind": "not-done-within",$1"seconds": 20',
      ),
      /"theta_max" is taken in deg, and this needs s/u,
    ],
    [
      'a criterion of a task that can never gate',
      good.replace(/"critical": "No decision \(pulse[^\n]*",/u, '"critical": null,'),
      /can never gate, so nothing decides its criterion/u,
    ],
    [
      'a point for endorsements beyond the scale',
      good.replace(
        '"rounds":',
        '"endorsement": {"weight": 5, "content": 0, "notContent": 6}, "rounds":',
      ),
      /\/endorsement\/notContent \(line \d+.*is no point of the scale/u,
    ],
    [
      'endorsements that count the wrong way round',
      good.replace(
        '"rounds":',
        '"endorsement": {"weight": 5, "content": 5, "notContent": 0}, "rounds":',
      ),
      /\/endorsement \(line \d+.*being content does not stand for a better point/u,
    ],
    ['text that is not JSON', good.slice(0, 500), /not JSON/u],
    ['nesting without end', '['.repeat(5000), /nests deeper/u],
  ])('%s', (_name, source, expected) => {
    expect(source).not.toBe(good);
    expect(faults(source).join('\n')).toMatch(expected);
  });

  test('a text from before criteria could be measured stays valid', () => {
    const old = {
      ...defaultProtocol,
      sections: defaultProtocol.sections.map((section) => ({
        ...section,
        tasks: (section.tasks as Record<string, unknown>[]).map(
          ({ criterion: _, ...task }) => task,
        ),
      })),
    };
    expect(JSON.stringify(old)).not.toContain('"criterion"');
    expect(faults(JSON.stringify(old))).toEqual([]);
  });

  test('PR-2: faults of shape do not hide those that only the whole file shows', () => {
    const faulty = structuredClone(defaultProtocol) as unknown as {
      gate: { minValidTrials: number };
      states: unknown;
      sections: { id: string; tasks: { id: string; state: string; anchors: string[] }[] }[];
    };
    faulty.gate.minValidTrials = 0;
    const [first, second] = faulty.sections[0]?.tasks ?? [];
    if (!first || !second) throw new Error('the protocol has tasks');
    first.state = 'upside-down';
    second.id = first.id;
    second.anchors.pop();
    const found = faults(JSON.stringify(faulty)).join('\n');
    expect(found).toMatch(/\/gate\/minValidTrials \(line 1/u);
    expect(found).toMatch(/\/sections\/0\/tasks\/0\/state .*no state "upside-down"/u);
    expect(found).toMatch(/\/sections\/0\/tasks\/1\/id .*stands twice/u);
    expect(found).toMatch(/\/sections\/0\/tasks\/1\/anchors .*5 anchors for 6 points/u);
    // A list that cannot be read is blamed itself, and not every task that names one of its entries.
    faulty.states = 'none';
    expect(faults(JSON.stringify(faulty)).filter((f) => f.includes('no state'))).toEqual([]);
    expect(faults(JSON.stringify(faulty)).join('\n')).toMatch(/\/states \(line 1/u);
  });

  test('PR-2: every unknown key of one object is listed, and what is missing is called missing', () => {
    const rest: Partial<typeof defaultProtocol> = { ...defaultProtocol };
    delete rest.title;
    const found = faults(JSON.stringify({ ...rest, colour: 1, size: 2, 'a/b~c': 3 }));
    expect(found).toHaveLength(4);
    expect(found.join('\n')).toMatch(/\/colour .*not known[^]*\/size .*not known/u);
    expect(found.join('\n')).toMatch(/\/a~1b~0c \(line 1, column \d+\)/u);
    expect(found.join('\n')).toMatch(/\/title.*is missing/u);
  });

  test.each([
    ['[1,]', 1, 4, /last comma/u],
    ['{"a": 1 "b": 2}', 1, 9, /a comma or \}/u],
    ['{\n  "a": tru\n}', 2, 8, /a value/u],
    ['{"a": "b\n"}', 1, 9, /line break/u],
    ['{"a": "\\x"}', 1, 8, /backslash/u],
    ['{"a": "b', 1, 7, /never closed/u],
    ['{"a"}', 1, 5, /a colon/u],
    ['{a: 1}', 1, 2, /name in quotation marks/u],
    ['', 1, 1, /the text ends/u],
    ['1 2', 1, 3, /the end of the text/u],
    ['[01]', 1, 3, /a comma or \]/u],
  ])('PR-2: %j is no JSON at line %i, column %i', (source, line, column, what) => {
    expect(() => JSON.parse(source) as unknown).toThrow(SyntaxError);
    const checked = checkProtocol(source);
    expect(checked.ok ? [] : checked.faults).toMatchObject([{ line, column, path: '' }]);
    expect(checked.ok ? '' : checked.faults[0]?.fault).toMatch(what);
  });

  test('PR-2: the grammar and JSON.parse agree on what is JSON', () => {
    const takes = (source: string): boolean => {
      try {
        JSON.parse(source);
        return true;
      } catch {
        return false;
      }
    };
    const signs = fc.string({ unit: fc.constantFrom(...'{}[]:,"\\ \n01-.eEtruefalsn\t\u00a0a') });
    const near = fc.tuple(fc.jsonValue(), signs, fc.nat()).map(([value, extra, at]) => {
      const source = JSON.stringify(value);
      const cut = at % (source.length + 1);
      return source.slice(0, cut) + extra.slice(0, at % 3) + source.slice(cut + (at % 2));
    });
    fc.assert(
      fc.property(fc.oneof(signs, near), (source) => {
        expect(jsonFault(source) === undefined).toBe(takes(source));
      }),
      { numRuns: 3000 },
    );
  });

  test('two faults are both listed', () => {
    const two = good
      .replace('"weight": 6', '"weight": -6')
      .replace('"basis": "absolute"', '"basis": "other"');
    expect(faults(two).length).toBeGreaterThanOrEqual(2);
  });
});

test('TX-1: text is trimmed, NFC, counted in code points, and free of control and direction characters', () => {
  const schema = text(2, 3);
  expect(v.parse(schema, '  e\u0301é ')).toBe('éé');
  expect(v.is(schema, '👩👩👩')).toBe(true);
  expect(v.is(schema, '👩👩👩👩')).toBe(false);
  for (const bad of ['a\u202eb', 'a\u0000b', 'a\ud800b', ' a '])
    expect(v.is(schema, bad), bad).toBe(false);
});

test('AU-1: an event with a number that is no safe integer has no text', () => {
  const event = {
    v: 1 as const,
    log: 'ev_x',
    seq: 0,
    at: '',
    clientAt: null,
    actor: '',
    role: '',
    device: null,
    cmd: null,
    type: 't',
  };
  expect(eventText({ ...event, data: { b: 1, a: '2.5' } })).toContain('"data":{"a":"2.5","b":1}');
  for (const bad of [2.5, Number.NaN, 2 ** 60]) {
    expect(() => eventText({ ...event, data: { value: bad } })).toThrow(TypeError);
  }
});

test('PR-3: a section that counts needs a task that counts, and the place is named', () => {
  const faulty = structuredClone(defaultProtocol);
  const [section] = faulty.sections;
  if (!section) throw new Error('the protocol has sections');
  for (const task of section.tasks) task.weight = 0;
  const checked = checkProtocol(JSON.stringify(faulty));
  expect(checked.ok ? [] : checked.faults).toMatchObject([
    { fault: 'the task weights of this section add up to nothing', remedy: 'Give one a weight.' },
  ]);
  expect(checked.ok ? '' : checked.faults[0]?.place).toContain('/sections/0/tasks (line ');
  section.weight = 0;
  expect(checkProtocol(JSON.stringify(faulty)).ok).toBe(true);
});
