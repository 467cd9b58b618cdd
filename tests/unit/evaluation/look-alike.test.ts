import { describe, expect, test } from 'vitest';
import { lookAlike } from '../../../server/src/evaluation/look-alike.ts';

describe('NA-2: names that could be taken for each other', () => {
  test.each([
    ['case, spaces and signs', 'Zoé Müller', ' zoé  MÜLLER.'],
    ['composed and decomposed letters', 'Zo\u00e9', 'Zoe\u0301'],
    ['full-width letters', 'Ada', '\uff21\uff44\uff41'],
    ['Cyrillic among Latin', 'Maria Cope', '\u041caria \u0421\u043e\u0440\u0435'],
    ['Greek capitals', 'ANTON', '\u0391\u039d\u03a4\u039f\u039d'],
    ['capital i and small l', 'Ian Lill', 'lan LiIl'],
    ['O and nought', 'Otto', '0tt0'],
    ['rn and m', 'Marnie', 'Mamie'],
    ['joiners inside', 'Reza', 'Re\u200cza'],
  ])('%s: %s and %s', (_what, one, other) => {
    expect(lookAlike(one, other)).toBe(true);
    expect(lookAlike(other, one)).toBe(true);
  });

  test.each([
    ['Ada Byron', 'Ada Bryon'],
    ['Ian', 'Jan'],
    ['Lian', 'Ilan'],
    ['Zoe', 'Zoé'],
    ['Müller', 'Mueller'],
    ['Reviewer 1', 'Reviewer 2'],
    ['Ольга', 'Олег'],
    ['陈伟', '陈韦'],
  ])('%s and %s are two names', (one, other) => {
    expect(lookAlike(one, other)).toBe(false);
  });

  test('signs alone are compared as they are', () => {
    expect(lookAlike('★', '★')).toBe(true);
    expect(lookAlike('★', '☆')).toBe(false);
  });
});
