import { openDatabase } from '../../server/src/adapters/sqlite-open.ts';

/** A process that writes events one by one and says each number after its commit: FILE and FULL or NORMAL. */
const [file = '', synchronous = 'FULL'] = process.argv.slice(2);
const db = openDatabase(file);
db.pragma(`synchronous = ${synchronous}`);
const insert = db.prepare("INSERT INTO event VALUES ('ws', 'ev', ?, 'an event of some length')");
for (let n = 0; ; n++) {
  insert.run(n);
  process.stdout.write(`${String(n)}\n`);
}
