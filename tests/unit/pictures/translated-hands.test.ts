import { expect, test } from 'vitest';
import { Interpreter } from '../../pictures/translated-hands.ts';

const by = new Interpreter([
  { english: '§1§ was: §2§', theirs: '§1§ war: §2§' },
  { english: 'Serial number', theirs: 'Seriennummer' },
  { english: 'Serial number', theirs: 'Nummer der Serie' },
]);

test('a sentence is found with the words of the catalogue that it names in either language, and each way they have', () => {
  expect(by.wordsFor('Serial number was: HX-0417')).toEqual(
    expect.arrayContaining([
      'Serial number war: HX-0417',
      'Seriennummer war: HX-0417',
      'Nummer der Serie war: HX-0417',
    ]),
  );
  expect(by.name('Serial number was: HX-0417', false)).toSatisfy((name: RegExp) =>
    name.test('Seriennummer war: HX-0417'),
  );
  expect(by.wordsFor('Heron was: 3')).toEqual(['Heron war: 3', 'Heron was: 3']);
});
