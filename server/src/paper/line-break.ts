/** Width of a piece of text in points. */
export type Measure = (text: string) => number;

/** Cuts a word that is wider than the line, such as a hash, where it fits. */
const cutWord = (word: string, width: number, measure: Measure): string[] => {
  const pieces: string[] = [];
  let piece = '';
  for (const sign of word) {
    if (piece !== '' && measure(piece + sign) > width) {
      pieces.push(piece);
      piece = '';
    }
    piece += sign;
  }
  return [...pieces, piece];
};

/**
 * Breaks text into lines no wider than `width` points: at line feeds, then at blanks, and inside a word only
 * when the word alone is wider than a line. The words of the lines, in order, are the words of the text.
 * Words are measured one by one: no kerning crosses a blank.
 */
export const breakLines = (text: string, width: number, measure: Measure): string[] => {
  const blank = measure(' ');
  return text.split('\n').flatMap((paragraph) => {
    const lines: string[] = [];
    let line = '';
    let used = 0;
    for (const word of paragraph.split(/\s+/u).filter((w) => w !== '')) {
      const wide = measure(word);
      if (line !== '' && used + blank + wide <= width) {
        line = `${line} ${word}`;
        used += blank + wide;
        continue;
      }
      if (line !== '') lines.push(line);
      const pieces = wide <= width ? [word] : cutWord(word, width, measure);
      lines.push(...pieces.slice(0, -1));
      line = pieces.at(-1) ?? '';
      used = measure(line);
    }
    return [...lines, line];
  });
};
