#!/usr/bin/env node
const [major = 0, minor = 0] = process.versions.node.split('.').map(Number);
if (major < 20 || (major === 20 && minor < 19)) {
  process.stderr.write(`Unhindered needs Node 20.19 or newer; this is ${process.versions.node}.\n`);
  process.exit(2);
}
const { buildStale } = await import('./build.js');
await buildStale();
const { main } = await import('../dist/cli.js');
process.exitCode = await main(process.argv.slice(2));
// Sockets of a finished command must not keep the program waiting.
process.exit();
