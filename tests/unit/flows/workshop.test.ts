import { describe, expect, test } from 'vitest';
import { MemoryStore } from '../../../server/src/adapters/memory-store.ts';
import { protocolOf, type App, type Identity } from '../../../server/src/flows/app.ts';
import { followSizes, sizesOf } from '../../../server/src/flows/follow-others.ts';
import { listProtocols, protocolDiff } from '../../../server/src/flows/look-workshop.ts';
import { panelView } from '../../../server/src/flows/look.ts';
import { Logs } from '../../../server/src/flows/logs.ts';
import { learnProtocolOf } from '../../../server/src/flows/published-protocols.ts';
import {
  protocolsRefusal,
  workshopOf,
  workshopRefusal,
} from '../../../server/src/flows/workshop.ts';
import type { Session } from '../../../server/src/ports/store.ts';
import { accepted, commandId, resultOf, seatedPanel } from '../../support/seated-panel.ts';
import { SPECIMEN } from '../../support/specimen.ts';
import { testApp, vkey } from '../../support/test-app.ts';
import {
  changedText,
  codeOf,
  COPY,
  got,
  leadOf,
  onWorkshop,
  STANDARD,
} from '../../support/workshop.ts';

const sessionOf = async (app: App, who: Identity): Promise<Session> => {
  const session = await app.store.session(who.session);
  if (!session) throw new Error('nobody');
  return session;
};

const NOTE = 'The airway weighs more.';
const heavier = changedText((p) => {
  p.version = '1.1.0';
  const [section] = p.sections;
  if (section) section.weight += 1;
});

/** Publishes a version with another weight; its hash. */
const publishHeavier = async (app: App, session: Session): Promise<string> => {
  const { draft } = got(await onWorkshop(app, session, COPY), 'draft');
  const save = { type: 'save-draft', draft, revision: 1, text: heavier } as const;
  const { revision } = got(await onWorkshop(app, session, save), 'draft');
  const publish = { type: 'publish-draft', draft, revision, note: NOTE } as const;
  return got(await onWorkshop(app, session, publish), 'protocol').hash;
};

const create = (version: string) =>
  ({
    type: 'create-evaluation',
    title: 'Heavier',
    specimen: SPECIMEN,
    protocol: { id: STANDARD.id, version },
  }) as const;

describe('the protocols of a workspace', () => {
  test('PR-9: what was published is chosen for an evaluation, and is what it works under', async () => {
    const { app, changed } = testApp();
    const p = await seatedPanel(app, 0);
    const hash = await publishHeavier(app, p.lead);
    expect(changed).toContain(p.panel);
    const panel = await app.logs.panel(p.panel);
    const view = panel && (await panelView(app, panel, p.moderator, () => true));
    expect(view?.protocols.map((c) => c.version)).toEqual(['1.1.0', '1.0.0']);
    const made = resultOf(await p.onPanel(p.moderator, create('1.1.0')));
    const live = await app.logs.evaluation(made.kind === 'evaluation' ? made.evaluation : '');
    expect(live?.state.created?.protocol).toEqual({ id: STANDARD.id, version: '1.1.0', hash });
    expect(live && protocolOf(app, live.state).protocol.sections[0]?.weight).toBe(7);
    expect(codeOf(await p.onPanel(p.moderator, create('1.2.0')))).toBe('unknown-thing');
  });

  test('PR-9: it stands in the log with its note and hash, under a signed checkpoint, and never changes', async () => {
    const { app } = testApp();
    const lead = await leadOf(app);
    const hash = await publishHeavier(app, lead);
    const workshop = await workshopOf(app);
    expect(workshop.covered).toBe(workshop.size);
    const last = (await app.store.events(workshop.id)).at(-1) ?? '';
    expect(JSON.parse(last)).toMatchObject({
      type: 'protocol-published',
      actor: 'lead',
      data: { id: STANDARD.id, version: '1.1.0', former: '1.0.0', hash, note: NOTE },
    });
    const again = got(await onWorkshop(app, lead, COPY), 'draft');
    const same = { type: 'save-draft', draft: again.draft, revision: 1, text: heavier } as const;
    await onWorkshop(app, lead, same);
    const publish = { type: 'publish-draft', draft: again.draft, revision: 2, note: NOTE } as const;
    expect(codeOf(await onWorkshop(app, lead, publish))).toBe('version-order');
  });

  test('PR-8: two moderators of two panels write one draft, and the second is told of the first by name', async () => {
    const { app } = testApp();
    const [a, b] = [await seatedPanel(app, 0), await seatedPanel(app, 0)];
    const ruth = await sessionOf(app, await a.sit('moderator', 'Ruth (invented)'));
    const sam = await sessionOf(app, await b.sit('moderator', 'Sam (invented)'));
    const { draft } = got(await onWorkshop(app, ruth, COPY), 'draft');
    const save = (text: string) => ({ type: 'save-draft', draft, revision: 1, text }) as const;
    expect(codeOf(await onWorkshop(app, ruth, save('by Ruth')))).toBe('ok');
    // A process that started after she sat down has not heard her name yet.
    app.names.clear();
    const refused = await onWorkshop(app, sam, save('by Sam'));
    expect(refused).toMatchObject({ rejection: { code: 'draft-changed' } });
    expect(refused.ok ? '' : refused.rejection.message).toMatch(/^Ruth \(invented\) saved/u);
    expect((await workshopOf(app)).state.drafts.get(draft)?.text).toBe('by Ruth');
  });

  test('EV-7: a change that is sent twice is kept once', async () => {
    const { app } = testApp();
    const lead = await leadOf(app);
    const { draft } = got(await onWorkshop(app, lead, COPY), 'draft');
    const save = { type: 'save-draft', draft, revision: 1, text: 'once' } as const;
    const id = commandId();
    const first = await onWorkshop(app, lead, save, id);
    expect(await onWorkshop(app, lead, save, id)).toEqual(first);
    expect((await workshopOf(app)).state.drafts.get(draft)?.revision).toBe(2);
  });

  test('PR-11: drafts are for the lead and moderators, the list for every seat but the wall', async () => {
    const { app } = testApp();
    const p = await seatedPanel(app, 1);
    const { draft } = got(await onWorkshop(app, p.lead, COPY), 'draft');
    const save = { type: 'save-draft', draft, revision: 1, text: 'x' } as const;
    for (const role of ['reviewer', 'observer', 'recorder', 'operator', 'wall'] as const) {
      const session = await sessionOf(app, await p.sit(role, `${role} (invented)`));
      const discard = { type: 'discard-draft', draft, revision: 1 } as const;
      const publish = { type: 'publish-draft', draft, revision: 1, note: NOTE } as const;
      for (const command of [COPY, save, discard, publish]) {
        expect(codeOf(await onWorkshop(app, session, command)), role).toBe('role-may-not');
      }
      expect((await workshopRefusal(app, session))?.code, role).toBe('role-may-not');
      expect((await protocolsRefusal(app, session))?.code, role).toBe(
        role === 'wall' ? 'role-may-not' : undefined,
      );
    }
    const moderator = await sessionOf(app, await p.sit('moderator', 'Second (invented)'));
    expect(codeOf(await onWorkshop(app, moderator, save))).toBe('ok');
    expect((await listProtocols(app, false)).drafts).toBeNull();
  });

  test('PR-4: versions and drafts are compared in words; a faulty draft is not', async () => {
    const { app } = testApp();
    const lead = await leadOf(app);
    await publishHeavier(app, lead);
    const older = `${STANDARD.id}@1.0.0`;
    const diff = await protocolDiff(app, { older, newer: `${STANDARD.id}@1.1.0` }, false);
    expect(diff.ok && diff.value.changes.map((c) => c.words)).toEqual([
      'section "scene", weight changed from 6 to 7'.replace(
        'scene',
        STANDARD.sections[0]?.id ?? '',
      ),
      'version changed from "1.0.0" to "1.1.0"',
    ]);
    const { draft } = got(await onWorkshop(app, lead, COPY), 'draft');
    const toDraft = await protocolDiff(app, { older, newer: draft }, true);
    expect(toDraft.ok && toDraft.value.changes).toHaveLength(1);
    expect((await protocolDiff(app, { older, newer: draft }, false)).ok).toBe(false);
    await onWorkshop(app, lead, { type: 'save-draft', draft, revision: 1, text: '{}' });
    const faulty = await protocolDiff(app, { older, newer: draft }, true);
    expect(faulty.ok ? '' : faulty.rejection.code).toBe('protocol-faulty');
  });

  test('PR-10: another process on the store learns what was published, before it shows what was made with it', async () => {
    const store = new MemoryStore();
    const { app: here } = testApp(store);
    const { app: there } = testApp(store);
    there.shared = true;
    there.logs = new Logs(store, vkey, new Set(), true, (first) => learnProtocolOf(there, first));
    const sizes = await sizesOf(there);
    const p = await seatedPanel(here, 0);
    await publishHeavier(here, p.lead);
    const made = resultOf(await p.onPanel(p.moderator, create('1.1.0')));
    expect(there.protocols.size).toBe(1);
    const live = await there.logs.evaluation(made.kind === 'evaluation' ? made.evaluation : '');
    expect(live?.state.created?.protocol.version).toBe('1.1.0');
    expect(there.protocols.size).toBe(2);
    // One that heard of nothing finds it when it looks over the sizes of all logs.
    there.protocols.delete(`${STANDARD.id} 1.1.0`);
    await followSizes(there, sizes);
    expect(there.protocols.size).toBe(2);
    accepted(await onWorkshop(there, p.lead, COPY));
  });
});
