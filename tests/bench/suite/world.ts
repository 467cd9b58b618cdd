import { randomInt } from 'node:crypto';
import * as Y from 'yjs';
import type {
  CommandAnswer,
  EvaluationCommand,
  PanelCommand,
  SheetField,
} from '../../../shared-types/src/index.ts';
import { CodeLimits } from '../../../server/src/http/code-limits.ts';
import { diskMedia } from '../../../server/src/adapters/disk-media.ts';
import { closeHouse, openHouse } from '../../../server/src/cli/house.ts';
import { openHome } from '../../../server/src/cli/open-home.ts';
import { readConfig } from '../../../server/src/cli/config.ts';
import { FIRST_WORKSPACE } from '../../../server/src/cli/open-store.ts';
import type { App, Identity } from '../../../server/src/flows/app.ts';
import { runEvaluationCommand } from '../../../server/src/flows/run-evaluation-command.ts';
import { runPanelCommand } from '../../../server/src/flows/run-panel-command.ts';
import { runWorkspaceCommand } from '../../../server/src/flows/run-workspace-command.ts';
import { secretHash } from '../../../server/src/flows/secrets.ts';
import { identityIn, newSession } from '../../../server/src/flows/sessions.ts';
import { takeSeat } from '../../../server/src/flows/take-seat.ts';
import { noMeter } from '../../../server/src/ports/meter.ts';
import { inventedFitCommand } from '../../../server/src/rehearse/invented-fit.ts';
import { seededRandom } from '../../../server/src/rehearse/random.ts';
import { accepted, CLIENT_AT, resultOf, sheetUpdate } from '../../support/seated-panel.ts';
import { NO_TIES, SPECIMEN } from '../../support/specimen.ts';

/** What is to stand in a store before a server is started on it. */
export interface WorldPlan {
  panels: number;
  /** Evaluations of each panel in a sealed first round. */
  sealed: number;
  /** Evaluations of each panel that are rated and locked. */
  locked?: number;
  reviewers: number;
  /** Devices signed in for each seat. */
  devices?: number;
  /** Tasks of the protocol with a rating and a note in each sheet before the load begins. */
  prefilled?: number;
  /** `postgres://…`; without it the file in the directory. */
  store?: string;
}

/** A seat with the cookies of its devices. */
export interface WorldSeat {
  seat: string;
  cookies: string[];
}

/** A sheet, and the Yjs client ids under which the devices of its seat will write: known, as after a longer use. */
export interface WorldSheet {
  document: string;
  clients: number[];
}

/** One evaluation, and the sheet of each reviewer in the order of the panel's seats. */
export interface WorldEvaluation {
  id: string;
  sheets: WorldSheet[];
}

export interface WorldPanel {
  id: string;
  moderator: string;
  seats: WorldSeat[];
  sealed: WorldEvaluation[];
  locked: string[];
}

export interface World {
  panels: WorldPanel[];
  /** Tasks of the protocol, in order. */
  tasks: string[];
}

const FLAGS = ['--port', '0', '--log-level', 'error'];
const log = {
  info: () => undefined,
  error: (words: string, error: unknown): void =>
    void process.stderr.write(`${words} ${String(error)}\n`),
};
const protocol = { id: 'emergency-access', version: '1.0.0' };

/** A session as it would come from signing in, and the cookie of its device. */
const signedIn = async (app: App, whose: { seat: string | null; panel: string | null }) => {
  const { token, session } = newSession(app, whose);
  await app.store.commit({ sessions: [session] });
  return { session, cookie: `unhindered=${token}` };
};

/** People at work in one panel, through the flows of the server itself. */
class Builder {
  readonly #app: App;
  readonly #plan: WorldPlan;
  readonly #tasks: string[];
  readonly #random = seededRandom(20260301);
  #panel = '';
  #clients = 1000;
  #moderator!: Identity;
  readonly #seats: { who: Identity; cookies: string[] }[] = [];

  constructor(app: App, plan: WorldPlan, tasks: string[]) {
    this.#app = app;
    this.#plan = plan;
    this.#tasks = tasks;
  }

  async panel(): Promise<WorldPanel> {
    const app = this.#app;
    const { session, cookie } = await signedIn(app, { seat: null, panel: null });
    const command = {
      type: 'create-panel',
      title: 'Bench',
      occasion: '',
      moderatorName: 'Mo',
    } as const;
    const made = resultOf(
      await runWorkspaceCommand(app, session, { ...this.#stamp(), on: 'workspace', command }),
    );
    if (made.kind !== 'panel') throw new Error('no panel');
    this.#panel = made.panel;
    const moderator = await identityIn(app, session, made.panel);
    if (!moderator) throw new Error('no moderator');
    this.#moderator = moderator;
    accepted(await this.#onPanel(moderator, NO_TIES));
    for (let i = 0; i < this.#plan.reviewers; i++) await this.#sit(`Reviewer ${String(i + 1)}`);
    const sealed: WorldEvaluation[] = [];
    for (let i = 0; i < this.#plan.sealed; i++)
      sealed.push(await this.#started(`Sealed ${String(i)}`));
    const locked: string[] = [];
    for (let i = 0; i < (this.#plan.locked ?? 0); i++)
      locked.push(await this.#locked(`Locked ${String(i)}`));
    const seats = this.#seats.map(({ who, cookies }) => ({ seat: who.seat, cookies }));
    return { id: made.panel, moderator: cookie, seats, sealed, locked };
  }

  #stamp(): { id: string; clientAt: string } {
    return { id: this.#app.ids.id('cm'), clientAt: CLIENT_AT };
  }

  #onPanel(who: Identity, command: PanelCommand): Promise<CommandAnswer> {
    return runPanelCommand(this.#app, who, {
      ...this.#stamp(),
      on: 'panel',
      panel: this.#panel,
      command,
    });
  }

  async #act(evaluation: string, command: EvaluationCommand): Promise<CommandAnswer> {
    const message = { ...this.#stamp(), on: 'evaluation' as const, evaluation, command };
    return runEvaluationCommand(this.#app, this.#moderator, message);
  }

  async #sit(name: string): Promise<void> {
    const app = this.#app;
    const ask = {
      type: 'invite',
      role: 'reviewer',
      label: '',
      by: 'link',
      until: null,
      seat: null,
    } as const;
    const invited = resultOf(await this.#onPanel(this.#moderator, ask));
    if (invited.kind !== 'invitation') throw new Error('no invitation');
    const taken = await takeSeat(app, { secret: invited.secret }, name);
    if (!taken.ok) throw new Error(taken.rejection.message);
    const session = await app.store.session(secretHash(taken.value.token));
    const who = session && (await identityIn(app, session, this.#panel));
    if (!who) throw new Error('nobody is seated');
    accepted(await this.#onPanel(who, NO_TIES));
    const cookies = [`unhindered=${taken.value.token}`];
    for (let i = 1; i < (this.#plan.devices ?? 1); i++) {
      cookies.push((await signedIn(app, { seat: who.seat, panel: this.#panel })).cookie);
    }
    this.#seats.push({ who, cookies });
  }

  async #started(title: string): Promise<WorldEvaluation> {
    const command = { type: 'create-evaluation', title, specimen: SPECIMEN, protocol } as const;
    const made = resultOf(await this.#onPanel(this.#moderator, command));
    if (made.kind !== 'evaluation') throw new Error('no evaluation');
    const { evaluation: id } = made;
    accepted(await this.#act(id, inventedFitCommand(this.#moderator.seat)));
    accepted(await this.#act(id, { type: 'start-round' }));
    const live = await this.#app.logs.evaluation(id);
    const sheets = live?.state.rounds[0]?.sheets;
    const documents = this.#seats.map(({ who }) => sheets?.get(who.seat) ?? '');
    await this.#fill(documents, this.#tasks.slice(0, this.#plan.prefilled ?? 0), true);
    return { id, sheets: await this.#known(documents) };
  }

  /** Makes the devices of each seat known in its sheet: a seat may bring four new ones a minute. */
  async #known(documents: readonly string[]): Promise<WorldSheet[]> {
    const bytes = Y.encodeStateAsUpdate(new Y.Doc());
    const sheets = documents.map((document) => ({
      document,
      clients: Array.from({ length: this.#plan.devices ?? 1 }, () => randomInt(2 ** 31, 2 ** 32)),
    }));
    const writes = sheets.map(({ document, clients }, i) => {
      const { seat = '', device = '' } = this.#seats[i]?.who ?? {};
      return { document, seat, device, at: CLIENT_AT, bytes, newClients: clients };
    });
    await this.#app.store.commit({ writes });
    return sheets;
  }

  /** Ratings of everybody on these tasks, with a note beside each when asked for. */
  async #fill(
    documents: readonly string[],
    tasks: readonly string[],
    notes: boolean,
  ): Promise<void> {
    if (tasks.length === 0) return;
    const writes = documents.map((document, i) => {
      const client = ++this.#clients;
      const ratings = tasks.map((t): [string, number] => [t, Math.floor(this.#random() * 5)]);
      const note = (t: string): [string, Partial<Record<SheetField, unknown>>] => [
        t,
        { note: `On ${t}` },
      ];
      const bytes = sheetUpdate(
        Object.fromEntries(ratings),
        client,
        notes ? Object.fromEntries(tasks.map(note)) : {},
      );
      const { seat = '', device = '' } = this.#seats[i]?.who ?? {};
      return { document, seat, device, at: CLIENT_AT, bytes, newClients: [client] };
    });
    await this.#app.store.commit({ writes });
  }

  async #locked(title: string): Promise<string> {
    const { id, sheets } = await this.#started(title);
    const documents = sheets.map((s) => s.document);
    await this.#fill(documents, this.#tasks, false);
    accepted(await this.#act(id, { type: 'open-round', withMissing: true }));
    accepted(await this.#act(id, { type: 'adopt-undisputed' }));
    const live = await this.#app.logs.evaluation(id);
    for (const task of this.#tasks) {
      if (live?.state.settled.has(task) === true) continue;
      const decision = { value: null, reason: 'Invented: nobody talked about it.' };
      accepted(await this.#act(id, { type: 'settle-task', task, how: 'leave-open', ...decision }));
    }
    accepted(await this.#act(id, { type: 'lock', meaning: 'Invented.' }));
    return id;
  }
}

/** Makes the world in a data directory (and its database), through the server's own flows, and closes it again. */
export const buildWorld = async (directory: string, plan: WorldPlan): Promise<World> => {
  const config = readConfig([...FLAGS, '--data-dir', directory], { STORE: plan.store });
  const home = await openHome(config, log);
  try {
    const house = await openHouse(home.kept(FIRST_WORKSPACE), {
      shared: home.shared,
      signer: home.signer,
      transport: 'loopback',
      proxied: false,
      codes: new CodeLimits(),
      media: diskMedia(`${directory}/media`, config.media),
      log,
      meter: noMeter,
    });
    const { app } = house;
    const published = app.protocols.get(`${protocol.id} ${protocol.version}`);
    const tasks = published?.protocol.sections.flatMap((s) => s.tasks.map((t) => t.id)) ?? [];
    const panels: WorldPanel[] = [];
    for (let i = 0; i < plan.panels; i++) panels.push(await new Builder(app, plan, tasks).panel());
    await closeHouse(house, log);
    return { panels, tasks };
  } finally {
    await home.close();
  }
};
