import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  protocolTasks,
  type CommandResult,
  type Protocol,
  type Role,
} from '../../shared-types/src/index.ts';
import defaultProtocol from '../../server/src/protocol/default-protocol.json' with { type: 'json' };
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { startBystander, type Bystander } from './bystander.ts';
import { startChild, type ServerChild } from './server-child.ts';
import { NO_TIES, SPECIMEN } from '../support/specimen.ts';

/** Tasks of the shipped protocol. */
export const TASKS = protocolTasks(defaultProtocol as Protocol).map((t) => t.id);
/** Title of the task that hostile ratings are about. */
export const TASK_TITLE =
  protocolTasks(defaultProtocol as Protocol).find((t) => t.id === 'chest-access')?.title ?? '';
/** The task that hostile ratings are about; its title in the corpus is our id. */
export const TASK = 'chest-access';

export const REASON = 'Talked through at the bench with the specimen in hand.';

export interface Person {
  client: SeatClient;
  seat: string;
  name: string;
}

type Invitation = Extract<CommandResult, { kind: 'invitation' }>;

/** A server with two panels, people in their seats, and a reviewer next door who must never notice anything. */
export interface World {
  directory: string;
  server: ServerChild;
  url: string;
  lead: SeatClient;
  panel: string;
  /** Opened: ratings in it are corrected by command. */
  opened: string;
  /** Sealed: ratings in it are written on sheets. */
  sealed: string;
  foreign: { panel: string; evaluation: string };
  people: Record<'ada' | 'ben' | 'cleo' | 'observer' | 'bystander', Person>;
  bystander: Bystander;
  /** `open`: who types the code is let in at once. */
  invite: (role: Role, by?: 'code' | 'link', panel?: string, open?: boolean) => Promise<Invitation>;
  join: (role: Role, name: string) => Promise<Person>;
  newEvaluation: (title: string, panel?: string) => Promise<string>;
  close: () => Promise<void>;
}

const must = <T>(value: T | undefined | null, what: string): T => {
  if (value === undefined || value === null) throw new Error(`there is no ${what}`);
  return value;
};

/** Short ways to make panels, evaluations and seats as the lead. */
const asLead = (lead: SeatClient, url: string) => {
  const newPanel = async (title: string): Promise<string> => {
    const command = { type: 'create-panel' as const, title, occasion: '', moderatorName: 'Mo' };
    const made = await lead.must({ on: 'workspace', command });
    const panel = made?.kind === 'panel' ? made.panel : must<string>(null, 'panel');
    await lead.onPanel(panel, NO_TIES);
    return panel;
  };
  const newEvaluation = async (panel: string, title: string): Promise<string> => {
    const protocol = { id: defaultProtocol.id, version: defaultProtocol.version };
    const command = { type: 'create-evaluation' as const, title, specimen: SPECIMEN, protocol };
    const made = await lead.onPanel(panel, command);
    const evaluation =
      made?.kind === 'evaluation' ? made.evaluation : must<string>(null, 'evaluation');
    const reason = 'Invented: nothing is worn in this run.';
    await lead.must({ on: 'evaluation', evaluation, command: { type: 'override-fit', reason } });
    return evaluation;
  };
  const invite = async (
    panel: string,
    role: Role,
    by: 'code' | 'link',
    open = false,
  ): Promise<Invitation> => {
    const command = { type: 'invite' as const, role, label: '', by, until: null, seat: null, open };
    const made = await lead.onPanel(panel, command);
    return made?.kind === 'invitation' ? made : must<Invitation>(null, 'invitation');
  };
  const join = async (panel: string, role: Role, name: string): Promise<Person> => {
    const { secret, seat } = await invite(panel, role, 'link');
    const client = await SeatClient.join(url, secret, name);
    if (role === 'reviewer') await client.onPanel(panel, NO_TIES);
    return { client, seat, name };
  };
  return { newPanel, newEvaluation, invite, join };
};

/** Rates the hostile task on a sealed sheet, so that there is something to correct after the opening. */
const rate = async (person: Person, evaluation: string, step: number): Promise<void> => {
  const { client } = person;
  await client.watch(evaluation);
  await client.until('a sheet', (v) => v.me?.sheets.length === 1);
  const sheet = await client.openSheet(1);
  sheet.set(TASK, { answer: step });
  await sheet.saved();
  sheet.close();
};

/** Starts everything. Takes a few seconds; one world serves all cases that speak of a wire. */
export const openWorld = async (): Promise<World> => {
  const directory = mkdtempSync(join(tmpdir(), 'unhindered-hostile-'));
  const server = await startChild(directory);
  const url = must(server.url, `server: ${server.err()}`);
  const lead = await SeatClient.signIn(url, server.signInLink);
  const as = asLead(lead, url);
  const panel = await as.newPanel('Hostile');
  const elsewhere = await as.newPanel('Elsewhere');
  const people = {
    ada: await as.join(panel, 'reviewer', 'Ada'),
    ben: await as.join(panel, 'reviewer', 'Ben'),
    cleo: await as.join(panel, 'reviewer', 'Cleo'),
    observer: await as.join(panel, 'observer', 'Olli'),
    bystander: await as.join(panel, 'reviewer', 'Next door'),
  };
  const opened = await as.newEvaluation(panel, 'Opened');
  await lead.must({ on: 'evaluation', evaluation: opened, command: { type: 'start-round' } });
  await rate(people.ada, opened, 3);
  await rate(people.ben, opened, 1);
  await lead.must({
    on: 'evaluation',
    evaluation: opened,
    command: { type: 'open-round', withMissing: true },
  });
  const sealed = await as.newEvaluation(panel, 'Sealed');
  await lead.must({ on: 'evaluation', evaluation: sealed, command: { type: 'start-round' } });
  for (const person of Object.values(people)) await person.client.watch(sealed);
  await rate(people.ben, sealed, 2);
  const foreign = { panel: elsewhere, evaluation: await as.newEvaluation(elsewhere, 'Foreign') };
  const bystander = await startBystander(url, people.bystander.client.cookie, sealed);
  return {
    directory,
    server,
    url,
    lead,
    panel,
    opened,
    sealed,
    foreign,
    people,
    bystander,
    invite: (role, by = 'link', where = panel, open = false) => as.invite(where, role, by, open),
    join: (role, name) => as.join(panel, role, name),
    newEvaluation: (title, where = panel) => as.newEvaluation(where, title),
    close: async () => {
      bystander.stop();
      for (const { client } of Object.values(people)) client.close();
      lead.close();
      await server.stop();
      rmSync(directory, { recursive: true, force: true });
    },
  };
};
