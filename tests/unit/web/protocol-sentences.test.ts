import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { checkProtocol } from '../../../server/src/protocol/check-protocol.ts';
import standard from '../../../server/src/protocol/default-protocol.json' with { type: 'json' };
import { diffProtocols } from '../../../server/src/protocol/diff-protocols.ts';
import type { Protocol } from '../../../shared-types/src/index.ts';
import { changeText, faultText } from '../../../web/src/words/de/protocol-sentences.ts';

const server = join(import.meta.dirname, '../../../server/src/protocol');
const shared = join(import.meta.dirname, '../../../shared-types/src');
const read = (folder: string, files: readonly string[]): string =>
  files.map((file) => readFileSync(join(folder, file), 'utf8')).join('\n');

/** Sentences that stand in a source, with `7` where each names something. */
const given = (source: string, before: RegExp): string[] =>
  [
    ...source.matchAll(new RegExp(`${before.source}\\s*(?:'([^'\\n]+)'|\`([^\`\\n]+)\`)`, 'gu')),
  ].map(([, plain, named]) => (plain ?? named ?? '').replace(/\$\{(?:[^{}]|\{[^{}]*\})*\}/gu, '7'));

describe('WD-6: what is said of a protocol, in German', () => {
  test('WD-6: every fault and every way out that the sources hold is said in other words', () => {
    const checks = read(
      server,
      readdirSync(server).filter((f) => /fault|check/u.test(f)),
    );
    const shapes = read(shared, ['text.ts', 'scale.ts', 'numbers.ts']);
    const sentences = [
      ...given(checks, /(?:fault|remedy|needed)(?: =|:)/u),
      ...given(checks, /ofFile\(/u),
      ...given(shapes, /(?:,|^)\s*(?=['`][A-Z][^'`]*\.['`])/u),
    ].filter((s) => s.includes(' ') && !s.startsWith('is not JSON'));
    expect(sentences.length).toBeGreaterThan(30);
    expect(sentences.filter((s) => faultText(s) === s)).toEqual([]);
  });

  test('WD-6: what is no JSON is said in German, each way a text can break', () => {
    const texts = [
      '',
      '{',
      '{"a"',
      '{"a":}',
      '[1,]',
      '[1 2]',
      '"a',
      '"\n"',
      '"\\x"',
      '{} 1',
      '{a:1}',
    ];
    for (const text of texts) {
      const checked = checkProtocol(text);
      const fault = checked.ok ? '' : (checked.faults[0]?.fault ?? '');
      expect(faultText(fault), text).toMatch(/^ist kein JSON: /u);
      expect(faultText(fault), text).not.toMatch(/ (?:the|where|stands|a|should|or) /u);
    }
  });

  test('WD-6: a difference keeps the names and values of the file', () => {
    const newer = structuredClone(standard) as Protocol;
    const [first, second] = newer.sections;
    if (!first?.tasks[0] || !second) throw new Error('no sections');
    first.tasks[0].weight = 9;
    first.tasks[0].critical = 'Changed from "a" to "b".';
    newer.sections[0] = second;
    newer.sections[1] = first;
    newer.tools = newer.tools.slice(1);
    newer.states.push({ id: 'new-state', title: 'New' });
    const told = diffProtocols(standard as Protocol, newer).map((c) => [
      c.words,
      changeText(c.words),
    ]);
    expect(told.length).toBeGreaterThan(4);
    for (const [english = '', german = ''] of told) {
      expect(german).not.toBe(english);
      for (const value of english.match(/"(?:[^"\\]|\\.)*"/gu) ?? [])
        expect(german).toContain(value);
    }
    expect(told.map(([, german]) => german)).toContain(
      `Abschnitt "${first.id}", Aufgabe "${first.tasks[0].id}", weight geändert von 1 zu 9`,
    );
  });
});
