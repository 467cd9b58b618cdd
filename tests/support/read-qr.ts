import type { Locator } from 'playwright-core';

/** Error correction M of the versions 1 to 6: blocks and bytes of data in each (ISO/IEC 18004, table 9). */
const BLOCKS: readonly (readonly [blocks: number, bytes: number])[] = [
  [1, 16],
  [1, 28],
  [1, 44],
  [2, 32],
  [2, 43],
  [4, 27],
];
const MASKS: readonly ((x: number, y: number) => boolean)[] = [
  (x, y) => (x + y) % 2 === 0,
  (_, y) => y % 2 === 0,
  (x) => x % 3 === 0,
  (x, y) => (x + y) % 3 === 0,
  (x, y) => (Math.floor(x / 3) + Math.floor(y / 2)) % 2 === 0,
  (x, y) => ((x * y) % 2) + ((x * y) % 3) === 0,
  (x, y) => (((x * y) % 2) + ((x * y) % 3)) % 2 === 0,
  (x, y) => (((x + y) % 2) + ((x * y) % 3)) % 2 === 0,
];

type Dark = (x: number, y: number) => boolean;

/** Modules that carry no data: finders, timing, format and the one alignment pattern. */
const isFixed = (n: number, x: number, y: number): boolean =>
  (x < 9 && y < 9) ||
  (x >= n - 8 && y < 9) ||
  (x < 9 && y >= n - 8) ||
  x === 6 ||
  y === 6 ||
  (n > 21 && Math.abs(x - (n - 7)) <= 2 && Math.abs(y - (n - 7)) <= 2);

/** The data's modules in their zigzag order, from the lower right corner. */
const path = (n: number): [number, number][] => {
  const found: [number, number][] = [];
  for (let right = n - 1, up = true; right > 0; right -= right === 8 ? 3 : 2, up = !up)
    for (let i = 0; i < n; i++)
      for (const x of [right, right - 1]) {
        const y = up ? n - 1 - i : i;
        if (!isFixed(n, x, y)) found.push([x, y]);
      }
  return found;
};

const number = (bits: readonly boolean[]): number =>
  bits.reduce((sum, bit) => sum * 2 + (bit ? 1 : 0), 0);

/** The text of a code of n by n modules: byte mode, error correction M, nothing damaged. */
const readQr = (n: number, dark: Dark): string => {
  const format = [0, 1, 2, 3, 4, 5, 7, 8].map((x) => dark(x, 8));
  const head = number(format.slice(0, 5)) ^ 0b10101;
  const mask = MASKS[head & 7];
  const [blocks = 0, size = 0] = BLOCKS[(n - 21) / 4] ?? [];
  if (head >> 3 !== 0 || !mask) throw new Error('not of error correction M');
  const bits = path(n).map(([x, y]) => dark(x, y) !== mask(x, y));
  const byte = (at: number): number => number(bits.slice(at * 8, at * 8 + 8));
  const bytes = Array.from({ length: blocks * size }, (_, i) =>
    byte((i % size) * blocks + Math.floor(i / size)),
  );
  const stream = bytes.flatMap((b) => Array.from({ length: 8 }, (_, i) => (b & (128 >> i)) !== 0));
  if (number(stream.slice(0, 4)) !== 4) throw new Error('not in byte mode');
  const text = Array.from({ length: number(stream.slice(4, 12)) }, (_, i) =>
    number(stream.slice(12 + i * 8, 20 + i * 8)),
  );
  return new TextDecoder().decode(Uint8Array.from(text));
};

/** What a camera would read from a code that is drawn as one square of a path for each dark module. */
export const readDrawnQr = async (svg: Locator): Promise<string> => {
  const box = Number((await svg.getAttribute('viewBox'))?.split(' ')[2]);
  const drawn = (await svg.locator('path').getAttribute('d')) ?? '';
  const squares = [...drawn.matchAll(/M(\d+) (\d+)h1v1h-1z/gu)].map(
    ([, x, y]) => [Number(x), Number(y)] as const,
  );
  const edge = Math.min(...squares.map(([x]) => x));
  const dark = new Set(squares.map(([x, y]) => `${String(x - edge)} ${String(y - edge)}`));
  return readQr(box - 2 * edge, (x, y) => dark.has(`${String(x)} ${String(y)}`));
};
