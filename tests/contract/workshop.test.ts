import { describe, expect, test } from 'vitest';
import { listProtocols, lookAtDraft } from '../../server/src/flows/look-workshop.ts';
import { learnProtocols } from '../../server/src/flows/published-protocols.ts';
import { checkStore } from '../../server/src/flows/check-store.ts';
import { STORES } from '../support/stores.ts';
import { testApp, vkey } from '../support/test-app.ts';
import { changedText, codeOf, COPY, got, leadOf, onWorkshop } from '../support/workshop.ts';

describe.each(STORES)('protocols of a workspace %s', (_name, make, absent) => {
  test.skipIf(absent)(
    'PR-7 PR-9: drafts and what was published are there again after a start',
    async () => {
      const reopen = await make();
      const { app } = testApp(await reopen());
      const lead = await leadOf(app);
      const first = got(await onWorkshop(app, lead, COPY), 'draft');
      const other = got(await onWorkshop(app, lead, COPY), 'draft');
      const text = changedText((p) => {
        p.version = '1.1.0';
        p.title = 'Emergency access, with a helmet 🏈';
      });
      const save = { type: 'save-draft', draft: first.draft, revision: 1, text } as const;
      const saved = got(await onWorkshop(app, lead, save), 'draft');
      expect(saved.revision).toBe(2);
      const later = { ...save, draft: other.draft, text: '{ "half": ' } as const;
      got(await onWorkshop(app, lead, later), 'draft');
      const publish = {
        type: 'publish-draft',
        draft: first.draft,
        revision: 2,
        note: 'A title that says more.',
      } as const;
      const published = got(await onWorkshop(app, lead, publish), 'protocol');

      const { app: again } = testApp(await reopen());
      await learnProtocols(again);
      expect(await checkStore(again.store, vkey)).toEqual([]);
      const list = await listProtocols(again, true);
      expect(list.published.map((p) => [p.version, p.hash === published.hash, p.note])).toEqual([
        ['1.1.0', true, 'A title that says more.'],
        ['1.0.0', false, null],
      ]);
      expect(list.drafts).toMatchObject([{ draft: other.draft, revision: 2, title: null }]);
      const draft = await lookAtDraft(again, other.draft);
      expect(draft.ok && draft.value.text).toBe('{ "half": ');
      const late = await onWorkshop(again, lead, { ...save, revision: 2 });
      expect(codeOf(late)).toBe('unknown-thing');
    },
  );
});
