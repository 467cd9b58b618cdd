import { main } from '../../server/src/cli/cli.ts';

/** The program from its sources, for tests that need it as a process of its own. */
process.exitCode = await main(process.argv.slice(2));
process.exit();
