import { describe, expect, test } from 'vitest';
import * as v from 'valibot';
import { joinBody } from '../../../shared-types/src/index.ts';
import { takeSeat } from '../../../server/src/flows/take-seat.ts';
import { resultOf, seatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';

const named = (name: string) => v.safeParse(joinBody, { key: { code: 'AAAA-AAAA' }, name });

describe('NA-1: a name holds what can be seen', () => {
  test.each([
    ['zero width space', 'A\u200bda'],
    ['direction mark', 'Ada\u200e'],
    ['direction override', 'Dr \u202erotaredom'],
    ['word joiner', 'A\u2060da'],
    ['Hangul filler', '\u3164'],
    ['soft hyphen', 'A\u00adda'],
    ['tags', 'Ada\u{e0041}'],
    ['joiners alone', '\u200c\u200d'],
  ])('%s is refused', (_what, name) => {
    expect(named(name).success).toBe(false);
  });

  test.each(['Zoé Müller', 'رضا\u200cزاده', '陈伟', "O'Neill-Šimić", ''])('%s is taken', (name) => {
    expect(named(name).success).toBe(true);
  });
});

test('NA-2: a name like one that is seated is refused in words, the invitation stays good, and a wall is no person', async () => {
  const { app } = testApp();
  const panel = await seatedPanel(app, 1);
  const invite = async (role: 'reviewer' | 'wall'): Promise<string> => {
    const command = {
      type: 'invite',
      role,
      label: '',
      by: 'code',
      until: null,
      seat: null,
    } as const;
    const invited = resultOf(await panel.onPanel(panel.moderator, command));
    return invited.kind === 'invitation' ? invited.secret : '';
  };
  const secret = await invite('reviewer');
  const before = (await app.logs.panel(panel.panel))?.size;
  const alike = await takeSeat(app, { secret }, 'Reviewer l');
  expect(alike).toMatchObject({ ok: false, rejection: { code: 'bad-input' } });
  expect(alike.ok ? '' : alike.rejection.message).toContain('Add an initial');
  expect((await app.logs.panel(panel.panel))?.size).toBe(before);
  expect(await takeSeat(app, { secret }, 'Reviewer Lin')).toMatchObject({ ok: true });
  for (let i = 0; i < 2; i++) {
    expect(await takeSeat(app, { secret: await invite('wall') }, '')).toMatchObject({ ok: true });
  }
});
