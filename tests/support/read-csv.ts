/**
 * Reads a whole CSV file by RFC 4180, sign by sign, with nothing of the library that writes them: comma, quotes doubled
 * inside quotes, a line feed or CR LF at the end of each row. Throws where a row is not one: a quote inside a bare cell,
 * something after a closing quote, no end of the last row, or another number of cells than the head has.
 */
export const readCsv = (text: string): { head: string[]; rows: string[][] } => {
  const rows: string[][] = [];
  let row: string[] = [];
  let at = 0;
  const cell = (): string => {
    if (text[at] !== '"') {
      const from = at;
      while (at < text.length && !',\r\n'.includes(text[at] ?? '')) at++;
      const bare = text.slice(from, at);
      if (bare.includes('"')) throw new Error(`a quote in a bare cell: ${bare}`);
      return bare;
    }
    let quoted = '';
    for (;;) {
      const end = text.indexOf('"', at + 1);
      if (end < 0) throw new Error('a quote is not closed');
      quoted += text.slice(at + 1, end);
      at = end + 1;
      if (text[at] !== '"') return quoted;
      quoted += '"';
    }
  };
  while (at < text.length) {
    row.push(cell());
    if (text[at] === ',') {
      at++;
      if (at === text.length) throw new Error('the last row does not end');
      continue;
    }
    if (text.startsWith('\r\n', at)) at += 2;
    else if (text[at] === '\n') at++;
    else throw new Error(`after a cell stands ${JSON.stringify(text[at] ?? 'nothing')}`);
    rows.push(row);
    row = [];
  }
  const [head = [], ...rest] = rows;
  for (const r of rest) {
    if (r.length !== head.length) throw new Error(`a row of ${String(r.length)} cells`);
  }
  return { head, rows: rest };
};
