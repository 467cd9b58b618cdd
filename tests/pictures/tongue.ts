import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import type { Heard } from './camera.ts';
import { LeftEnglish, saidOn } from './left-english.ts';
import { handed, Interpreter } from './translated-hands.ts';
import { wordPairs } from './two-catalogues.ts';

/** A language that the walk is played in. */
export interface Tongue {
  locale: string;
  /** A person whose browser asks for the language: found by English names, listened to for English that is left. */
  speaks: (seat: Heard) => Heard;
}

const server = join(import.meta.dirname, '../../server/src');

const stringsIn = (value: unknown): string[] => {
  if (typeof value === 'string') return [value];
  return typeof value === 'object' && value !== null ? Object.values(value).flatMap(stringsIn) : [];
};

/** What protocols and the people of the demonstration say, each in their own language. */
const contents = (): string[] => {
  const demo = readdirSync(join(server, 'demo')).map((file) =>
    readFileSync(join(server, 'demo', file), 'utf8'),
  );
  const literals = demo.flatMap((source) =>
    [...source.matchAll(/(['"])((?:(?!\1).){4,})\1/gu)].map(([, , text]) => text ?? ''),
  );
  const standard = readFileSync(join(server, 'protocol/default-protocol.json'), 'utf8');
  return [...stringsIn(JSON.parse(standard)), ...literals].map((text) => text.trim());
};

/** Every sentence with which the server refused something, as its answers carried it. */
const REFUSAL = /"code":"[a-z-]+","message":"((?:[^"\\]|\\.)+)"/gu;

const refusalsOf = (page: Page): Set<string> => {
  const sent = new Set<string>();
  const note = (body: string): void => {
    for (const [, message] of body.matchAll(REFUSAL))
      sent.add((JSON.parse(`"${message ?? ''}"`) as string).trim());
  };
  page.on('response', (response) => {
    if (response.status() >= 400) void response.text().then(note, () => null);
  });
  page.on('websocket', (socket) => {
    socket.on('framereceived', ({ payload }) => {
      if (typeof payload === 'string') note(payload);
    });
  });
  return sent;
};

/** What a walk in another language needs; every screen is then listened to for English. */
export const tongueOf = async (language: string): Promise<Tongue> => {
  const pairs = await wordPairs(language);
  const interpreter = new Interpreter(pairs);
  const left = new LeftEnglish(pairs);
  const typed = new Set(contents());
  return {
    locale: language,
    speaks: ({ page, ...seat }) => {
      const sent = refusalsOf(page);
      return {
        ...seat,
        page: handed(page, { interpreter, typed }),
        listen: async () => left.in(await saidOn(page), language, sent, typed),
      };
    },
  };
};
