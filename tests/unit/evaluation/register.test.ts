import * as v from 'valibot';
import { describe, expect, test } from 'vitest';
import {
  specimenDetails,
  specimenOf,
  type RegisterEvent,
  type SpecimenDetails,
} from '../../../shared-types/src/index.ts';
import {
  applyRegister,
  decideCorrection,
  decideRegister,
  decideRetirement,
  emptyRegister,
  evaluationsWith,
  registeredNow,
  type RegisterState,
} from '../../../server/src/evaluation/register.ts';
import { DETAILS } from '../../support/specimen.ts';

const AT = '2026-03-02T09:00:00.000Z';
const HELMET = `sp_${'a'.repeat(22)}`;
const PADS = `sp_${'b'.repeat(22)}`;
const KIT = `sp_${'c'.repeat(22)}`;
const EVALUATION = `ev_${'e'.repeat(22)}`;
const pads: SpecimenDetails = { ...DETAILS, kind: 'pads', model: 'Gull 2' };
const kit: SpecimenDetails = { ...DETAILS, kind: 'combined', hardware: [], pieces: [HELMET, PADS] };

const after = (...events: RegisterEvent[]): RegisterState =>
  events.reduce((state, event) => applyRegister(state, { ...event, at: AT }), emptyRegister);
const registered = (specimen: string, details: SpecimenDetails): RegisterEvent => ({
  type: 'specimen-registered',
  data: { specimen, details },
});
const both = [registered(HELMET, DETAILS), registered(PADS, pads)];
const codeOf = (outcome: { ok: true } | { ok: false; rejection: { code: string } }): string =>
  outcome.ok ? 'ok' : outcome.rejection.code;

describe('the register of specimens', () => {
  test('SP-1: a correction keeps the old description, and a retired line stays', () => {
    const changed = { ...DETAILS, serial: 'HX-9' };
    const corrected = decideCorrection(after(...both), HELMET, changed, 'misread');
    const retired = decideRetirement(after(...both), HELMET, 'worn out');
    if (!corrected.ok || !retired.ok) throw new Error('refused');
    const state = after(...both, ...corrected.value, ...retired.value);
    const piece = state.get(HELMET);
    expect(piece?.details.serial).toBe('HX-9');
    expect(piece?.history).toEqual([{ at: AT, reason: 'misread', old: DETAILS }]);
    expect(piece?.retired).toEqual({ reason: 'worn out', at: AT });
    expect([...state.keys()]).toEqual([HELMET, PADS]);
  });

  test('SP-1: a correction that changes nothing is no event; one of nothing is refused', () => {
    const state = after(...both);
    const same = decideCorrection(state, HELMET, { ...DETAILS }, 'same');
    expect(same).toEqual({ ok: true, value: [] });
    expect(codeOf(decideCorrection(state, KIT, DETAILS, 'none'))).toBe('unknown-thing');
    expect(codeOf(decideRetirement(state, KIT, 'none'))).toBe('unknown-thing');
  });

  test.each([
    ['a kit of two registered pieces', kit, 'ok'],
    ['a kit of one piece', { ...kit, pieces: [HELMET] }, 'bad-input'],
    ['a kit of one piece twice', { ...kit, pieces: [HELMET, HELMET] }, 'bad-input'],
    ['a kit with a stranger', { ...kit, pieces: [HELMET, KIT] }, 'unknown-thing'],
    ['a helmet with pieces', { ...DETAILS, pieces: [PADS] }, 'bad-input'],
  ])('SP-2: %s', (_name, details, code) => {
    expect(codeOf(decideRegister(after(...both), KIT, details))).toBe(code);
  });

  test('SP-2: a piece does not become a kit, nor a kit a piece of a kit', () => {
    const state = after(...both, registered(KIT, kit));
    expect(codeOf(decideCorrection(state, HELMET, kit, 'kit'))).toBe('bad-input');
    const nested = { ...kit, pieces: [HELMET, KIT] };
    expect(codeOf(decideRegister(state, `sp_${'d'.repeat(22)}`, nested))).toBe('unknown-thing');
  });

  test('SP-3: what is retired gets no new evaluation, nor does a kit with a retired piece', () => {
    const gone: RegisterEvent = {
      type: 'specimen-retired',
      data: { specimen: PADS, reason: 'torn' },
    };
    const state = after(...both, registered(KIT, kit), gone);
    expect(codeOf(registeredNow(state, PADS))).toBe('already-decided');
    expect(codeOf(registeredNow(state, KIT))).toBe('already-decided');
    expect(codeOf(registeredNow(state, HELMET))).toBe('ok');
    expect(codeOf(decideRetirement(state, PADS, 'again'))).toBe('already-decided');
  });

  test('SP-5: a correction of a piece concerns the evaluations of its kits', () => {
    const used: RegisterEvent = {
      type: 'specimen-used',
      data: { specimen: KIT, evaluation: EVALUATION },
    };
    const state = after(...both, registered(KIT, kit), used);
    expect(evaluationsWith(state, HELMET)).toMatchObject([{ evaluation: EVALUATION }]);
    expect(evaluationsWith(state, KIT)).toMatchObject([{ evaluation: EVALUATION }]);
  });

  test('SP-7: what an evaluation keeps is short enough for a card and names every fastener', () => {
    const now = registeredNow(after(...both, registered(KIT, kit)), KIT);
    if (!now.ok) throw new Error(now.rejection.message);
    expect(specimenOf(now.value).fastening).toBe(
      'Heron 3: 4 × mask screw, stainless steel (clean); Gull 2: 4 × mask screw, stainless steel (clean)',
    );
    const hardware = Array.from({ length: 40 }, () => DETAILS.hardware).flat();
    const words = specimenOf({ details: { ...DETAILS, hardware }, parts: [] }).fastening;
    expect([...words].length).toBe(500);
  });

  test.each([
    ['a day that is none', { made: '2026-13-01' }],
    ['no mass', { massG: 0 }],
    ['half a screw', { hardware: [{ kind: 'screw', material: '', count: 0.5, condition: '' }] }],
    ['no maker', { maker: ' ' }],
  ])('refuses %s', (_name, change) => {
    expect(v.safeParse(specimenDetails, { ...DETAILS, ...change }).success).toBe(false);
    expect(v.safeParse(specimenDetails, DETAILS).success).toBe(true);
  });
});
