import type {
  CommandAnswer,
  CommandMessage,
  DraftAnswer,
  DraftCheck,
  Outcome,
  ProtocolDiffAnswer,
  ProtocolsAnswer,
  Protocol,
  WorkshopCommand,
} from '@unhindered/shared-types';
import { call, post } from './api.ts';
import { randomId } from './random-id.ts';

type Done = Extract<CommandAnswer, { ok: true }>;

/** A command with its own id: sent again after a cut, it has one effect. */
export const workshopMessage = (command: WorkshopCommand): CommandMessage => ({
  id: randomId('cm_'),
  clientAt: new Date().toISOString(),
  on: 'workspace',
  command,
});

/** The protocols' part of the JSON interface. */
export const workshopApi = {
  list: () => call<ProtocolsAnswer>('/protocols'),
  version: (id: string, version: string) => call<Protocol>(`/protocols/${id}/${version}`),
  draft: (draft: string) => call<DraftAnswer>(`/drafts/${draft}`),
  check: (draft: string) => call<DraftCheck>(`/drafts/${draft}/check`),
  diff: (older: string, newer: string) =>
    call<ProtocolDiffAnswer>(`/protocol-diff?${new URLSearchParams({ older, newer }).toString()}`),
  send: (message: CommandMessage): Promise<Outcome<Done>> => post<Done>('/workshop', message),
  command: (command: WorkshopCommand): Promise<Outcome<Done>> =>
    workshopApi.send(workshopMessage(command)),
};
