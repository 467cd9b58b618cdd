import { join } from 'node:path';
import { diskMedia } from '../adapters/disk-media.ts';
import { jsonLog } from '../adapters/json-log.ts';
import { StoreUnavailable } from '../adapters/store-unavailable.ts';
import { demoProtocol } from '../demo/demo-protocol.ts';
import { fillDemo } from '../demo/fill.ts';
import { onPanel } from '../demo/seats.ts';
import { CodeLimits } from '../http/code-limits.ts';
import type { App } from '../flows/app.ts';
import { noMeter } from '../ports/meter.ts';
import type { Timers } from '../ports/timers.ts';
import type { Store } from '../ports/store.ts';
import { checkProtocol } from '../protocol/check-protocol.ts';
import defaultProtocol from '../protocol/default-protocol.json' with { type: 'json' };
import { protocolText } from '../protocol/protocol-text.ts';
import { assemble, keptAlone, type Common } from './house.ts';
import { MEDIA_LIMITS } from './config.ts';
import { readFlags, UsageError } from './read-flags.ts';
import { FIRST_WORKSPACE, openFile, type OpenFile } from './open-store.ts';

/** Versions of the demonstration's protocol: the second stands for a later edition, to show what is not comparable. */
const VERSIONS = ['1.0.0', '1.1.0'];
const SEED = 20_231_014;

/** A stream of numbers in [0, 1), the same every time. */
const stream = (seed: number): (() => number) => {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
};

/** A clock that is set by hand; nothing waits on it. */
const handClock = () => {
  let now = 0;
  const timers: Timers = { now: () => now, counted: () => now, after: () => () => undefined };
  return {
    timers,
    set: (instant: string) => {
      now = Date.parse(instant);
    },
    minutes: (n: number) => {
      now += n * 60_000;
    },
  };
};

const publish = async (store: Store): Promise<void> => {
  const shipped = checkProtocol(JSON.stringify(defaultProtocol));
  if (!shipped.ok) throw new Error('the shipped protocol is faulty');
  for (const version of VERSIONS) {
    const protocol = demoProtocol(shipped.protocol, version);
    const { id } = protocol;
    await store.commit({ protocols: [{ id, version, ...protocolText(protocol) }] });
  }
};

/** Two public links, so that what readers see can be looked at without signing in. */
const publicLinks = async (app: App, made: Awaited<ReturnType<typeof fillDemo>>) => {
  const lines: string[] = [];
  for (const [id, what] of [
    ['d1', 'card'],
    ['d2', 'record'],
  ] as const) {
    const piece = made.get(id);
    if (!piece) continue;
    const { evaluation, panel } = piece;
    const command = { type: 'publish-link' as const, evaluation, what, names: false };
    const link = await onPanel(app, panel.moderator, command);
    if (link?.kind === 'link') lines.push(`  ${what} of ${id}: /public#${link.secret}`);
  }
  return lines;
};

const dataDirectory = (argv: readonly string[]): string => {
  const { values } = readFlags(argv, { options: { 'data-dir': { type: 'string' } } });
  const given = values['data-dir'];
  if (given !== undefined) return given;
  throw new UsageError('demo takes --data-dir DIRECTORY, one that holds no workspace yet.');
};

/** The store of the directory; says why there is none. */
const opening = (directory: string): OpenFile | undefined => {
  try {
    return openFile(directory);
  } catch (error) {
    if (!(error instanceof StoreUnavailable)) throw error;
    process.stderr.write(`${error.message}\n`);
    return undefined;
  }
};

/** `demo`: fills an empty data directory with an invented catalogue. Exits with 2 when the directory holds one. */
export const demo = async (argv: readonly string[]): Promise<number> => {
  const directory = dataDirectory(argv);
  const opened = opening(directory);
  if (!opened) return 2;
  const { signer } = opened;
  const store = opened.store(FIRST_WORKSPACE);
  try {
    if ((await store.logs()).length > 0) {
      process.stderr.write(
        `${directory} holds a workspace already. Choose an empty directory: invented data is never put beside real.\n`,
      );
      return 2;
    }
    await publish(store);
    const clock = handClock();
    clock.set('2023-10-14T07:00:00.000Z');
    const log = jsonLog('error', process.stderr);
    const common: Common = {
      shared: false,
      signer,
      transport: 'loopback',
      proxied: false,
      codes: new CodeLimits(),
      meter: noMeter,
      media: diskMedia(join(directory, 'media'), MEDIA_LIMITS),
      log,
    };
    const { app } = await assemble(keptAlone(store), common, clock.timers);
    const say = (line: string): void => void process.stdout.write(`${line}\n`);
    const made = await fillDemo(app, clock, stream(SEED), say);
    const links = await publicLinks(app, made);
    await app.insights.close();
    say('Public links, after the server’s address:');
    for (const line of links) say(line);
    say(`Everything in it is invented. Look at it with:`);
    say(`  npx unhindered serve --data-dir ${directory} --new-sign-in-link`);
    return 0;
  } finally {
    opened.close();
  }
};
