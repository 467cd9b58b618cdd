/**
 * Letters of other scripts that are drawn like Latin ones, upper and lower case apart. A selection of the single
 * signs in Unicode's confusables.txt (UTS 39) for Cyrillic, Greek, Armenian and small capitals; compatibility forms
 * such as full-width letters are folded by NFKC before.
 */
const DRAWN_ALIKE: Record<string, string> = {
  a: 'аαɑᴀ',
  A: 'АΑᎪ',
  B: 'ВΒᏴ',
  b: 'Ьʙ',
  c: 'сϲᴄ',
  C: 'СϹᏟ',
  d: 'ԁᴅ',
  E: 'ЕΕᎬ',
  e: 'еєᴇ',
  F: 'Ϝ',
  g: 'ɡց',
  G: 'ԌᏀ',
  H: 'НΗᎻ',
  h: 'һհʜ',
  I: 'ІΙӀ',
  i: 'іıιɩ',
  J: 'ЈᎫ',
  j: 'јϳ',
  K: 'КΚᏦ',
  k: 'кκᴋ',
  L: 'ᏞԼ',
  l: 'ӏ',
  M: 'МΜᎷ',
  m: 'мᴍ',
  N: 'Ν',
  n: 'ոηɴ',
  O: 'ОΟՕ',
  o: 'оοσօᴏ',
  P: 'РΡᏢ',
  p: 'рρᴘ',
  q: 'ԛզ',
  S: 'ЅՏᏚ',
  s: 'ѕꜱ',
  T: 'ТΤᎢ',
  t: 'тτᴛ',
  u: 'υսᴜ',
  U: 'Ս',
  v: 'ѵνᴠ',
  w: 'ԝաѡᴡ',
  W: 'Ԝ',
  x: 'хχ',
  X: 'ХΧ',
  Y: 'УΥҮ',
  y: 'уүγʏ',
  Z: 'ΖᏃ',
  z: 'ᴢ',
};

const LATIN = new Map(
  Object.entries(DRAWN_ALIKE).flatMap(([latin, others]) =>
    [...others].map((other): [string, string] => [other, latin]),
  ),
);

/** Letters, marks and digits of a name, in Latin drawing: no spaces, signs or joiners. */
const drawn = (name: string): string =>
  [...name.normalize('NFKC')]
    .map((sign) => LATIN.get(sign) ?? sign)
    .join('')
    .normalize('NFC');

const bare = (name: string): string => name.replaceAll(/[^\p{L}\p{M}\p{N}]/gu, '');

/** How a name reads, whatever its case. */
const read = (name: string): string => bare(drawn(name)).toLowerCase();

/** How a name looks: capital i, small l, one and bar are one stroke; O and nought one ring; rn one m; vv one w. */
const looks = (name: string): string =>
  bare(
    drawn(name)
      .replaceAll(/[Il1|]/gu, 'l')
      .replaceAll(/[O0]/gu, 'o')
      .replaceAll('rn', 'm')
      .replaceAll(/vv|VV/gu, 'w'),
  ).toLowerCase();

/**
 * NA-2: whether two names could be taken for each other on a screen: the same letters whatever their case, spaces,
 * signs, script or width, or letters that are drawn alike. Accents tell names apart.
 */
export const lookAlike = (one: string, other: string): boolean =>
  (read(one) !== '' && read(one) === read(other)) ||
  (looks(one) !== '' && looks(one) === looks(other)) ||
  (read(one) === '' && one.normalize('NFKC') === other.normalize('NFKC'));
