import { onTestFinished } from 'vitest';
import type { CommandResult, Role } from '../../shared-types/src/index.ts';
import { inventedFitCommand } from '../../server/src/rehearse/invented-fit.ts';
import { NO_TIES, SPECIMEN } from './specimen.ts';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';

type Invitation = Extract<CommandResult, { kind: 'invitation' }>;

const closing = (client: SeatClient): SeatClient => {
  onTestFinished(() => client.close());
  return client;
};

/** A lead with a panel and one evaluation on a live server, and the ways others come in. */
export const livePanel = async (
  url: string,
  signInLink: string,
  protocol = { id: 'emergency-access', version: '1.0.0' },
) => {
  const moderator = closing(await SeatClient.signIn(url, signInLink));
  const made = await moderator.must({
    on: 'workspace',
    command: { type: 'create-panel', title: 'Live', occasion: '', moderatorName: 'Mo' },
  });
  if (made?.kind !== 'panel') throw new Error('no panel');
  const { panel } = made;
  await moderator.onPanel(panel, NO_TIES);
  const created = await moderator.onPanel(panel, {
    type: 'create-evaluation',
    title: 'Heron 3 (invented)',
    specimen: SPECIMEN,
    protocol,
  });
  if (created?.kind !== 'evaluation') throw new Error('no evaluation');
  const { evaluation } = created;
  await moderator.watch(evaluation);
  await moderator.onEvaluation(inventedFitCommand(moderator.view.me?.seat ?? ''));

  const invite = async (role: Role, by: 'code' | 'link' = 'code'): Promise<Invitation> => {
    // Let in at once; the tests of the waiting room make their own invitations.
    const ask = { type: 'invite', role, label: '', by, until: null, seat: null } as const;
    const command = { ...ask, open: true };
    const invited = await moderator.onPanel(panel, command);
    if (invited?.kind !== 'invitation') throw new Error('no invitation');
    return invited;
  };
  /** Joins by typed code or by link, at an address of one's own, and looks at the evaluation. */
  const join = async (role: Role, name: string, at = url, by: 'code' | 'link' = 'code') => {
    const invited = await invite(role, by);
    const key = invited.code === null ? { secret: invited.secret } : { code: invited.code };
    const { cookie } = await SeatClient.post(at, '/invitations/use', { key, name });
    const client = closing(new SeatClient(at, cookie));
    if (role === 'reviewer') await client.onPanel(panel, NO_TIES);
    await client.watch(evaluation);
    return { client, seat: invited.seat };
  };
  return { moderator, panel, evaluation, invite, join };
};
