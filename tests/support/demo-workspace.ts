import { demoProtocol } from '../../server/src/demo/demo-protocol.ts';
import { fillDemo, type DemoFilled } from '../../server/src/demo/fill.ts';
import { protocolKey, type App } from '../../server/src/flows/app.ts';
import { exportBundle } from '../../server/src/flows/export-bundle.ts';
import { protocolText } from '../../server/src/protocol/protocol-text.ts';
import { seededRandom } from '../../server/src/rehearse/random.ts';
import { testApp } from './test-app.ts';

const SEED = 11;

/** The invented catalogue in memory: its program, and what was made by the ids of the pieces. */
export interface DemoWorkspace {
  app: App;
  made: DemoFilled;
  /** The bytes of a piece's bundle. */
  bundle: (piece: string) => Promise<Uint8Array>;
}

/** Fills a workspace in memory with the invented catalogue, by a clock of its own. */
export const demoWorkspace = async (): Promise<DemoWorkspace> => {
  const { app } = testApp();
  let now = 0;
  app.timers = { now: () => now, counted: () => now, after: () => () => undefined };
  const [shipped] = [...app.protocols.values()];
  if (!shipped) throw new Error('no protocol is published');
  app.protocols = new Map(
    ['1.0.0', '1.1.0'].map((version) => {
      const protocol = demoProtocol(shipped.protocol, version);
      return [protocolKey(protocol), { protocol, ...protocolText(protocol) }];
    }),
  );
  const clock = {
    set: (instant: string) => {
      now = Date.parse(instant);
    },
    minutes: (n: number) => {
      now += n * 60_000;
    },
  };
  const made = await fillDemo(app, clock, seededRandom(SEED), () => undefined);
  const bundle = async (piece: string): Promise<Uint8Array> => {
    const live = await app.logs.evaluation(made.get(piece)?.evaluation ?? '');
    if (!live) throw new Error(`${piece} was not made`);
    const exported = await exportBundle(app, live);
    if (!exported.ok) throw new Error(exported.rejection.message);
    return exported.value;
  };
  return { app, made, bundle };
};
