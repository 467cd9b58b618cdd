import { fileURLToPath } from 'node:url';
import { UsageError } from './read-flags.ts';

const USAGE = `Usage: unhindered <command>

  serve                     start the server (PORT, HOST, DATA_DIR, or --port, --host, --data-dir)
  rehearse                  play a whole invented evaluation over real sockets
  demo                      fill an empty --data-dir with an invented catalogue
  analyse FILE.csv          figures of ratings collected anywhere [--scale MIN:MAX] [--better lower|higher] [--json]
  report BUNDLE             the record of a bundle as a tagged PDF: --out FILE [--paper a4|letter] [--names]
  export BUNDLE             the open data of a bundle as CSV: --out DIR
  verify BUNDLE             check a locked evaluation offline [--key VKEY] [--seen CHECKPOINT] [--json]
  protocol check FILE       list every fault of a protocol file
  protocol diff A B         say in words what changed between two protocol files
  protocol schema           print the JSON Schema of protocol files
  backup FILE               have the running server write a copy of its store, photos and clips beside it [--data-dir]
  restore FILE              check a backup and put it in the store's place
                            [--data-dir --without-missing --sheets-key FILE]

  rotate-key                a new signing key, vouched for by the old one; while no server runs [--data-dir]
  rotate-key --sheets       a new key for sealed sheets, each sealed again; while no server runs [--data-dir --store]
  move --store ADDRESS      copy the store's file into an empty PostgreSQL database and check it [--data-dir]

  workspace add NAME        one more organisation on this server, which sees nothing of the others [--data-dir];
                            also: workspace link NAME, workspace list
Exit codes: 0 good, 1 the thing checked does not hold, 2 usage or unreadable input.
`;

type Command = (argv: readonly string[]) => Promise<number>;

/** Where the built pages are, seen from the built program. */
const webDirectory = (): string => fileURLToPath(new URL('../../web/dist', import.meta.url));

const commands: Record<string, Command> = {
  serve: async (argv) => (await import('./serve.ts')).serve(argv, webDirectory()),
  rehearse: async (argv) => (await import('./rehearse.ts')).rehearse(argv),
  demo: async (argv) => (await import('./demo.ts')).demo(argv),
  analyse: async (argv) => (await import('./analyse.ts')).analyseCommand(argv),
  verify: async (argv) => (await import('./verify.ts')).verify(argv),
  report: async (argv) => (await import('./report.ts')).report(argv),
  export: async (argv) => (await import('./export.ts')).exportCommand(argv),
  backup: async (argv) => (await import('./backup.ts')).backup(argv),
  restore: async (argv) => (await import('./restore.ts')).restore(argv),
  'rotate-key': async (argv) => (await import('./rotate-key.ts')).rotateKey(argv),
  move: async (argv) => (await import('./move.ts')).move(argv),
  workspace: async (argv) => (await import('./workspace.ts')).workspace(argv),
  protocol: async (argv) => (await import('./protocol.ts')).protocolCommand(argv),
};

/** The program: runs one command and returns its exit code. */
export const main = async (argv: readonly string[]): Promise<number> => {
  const [name = 'help', ...rest] = argv;
  const command = Object.hasOwn(commands, name) ? commands[name] : undefined;
  if (!command) {
    (name === 'help' || name === '--help' ? process.stdout : process.stderr).write(USAGE);
    return name === 'help' || name === '--help' ? 0 : 2;
  }
  try {
    return await command(rest);
  } catch (error) {
    if (!(error instanceof UsageError)) throw error;
    process.stderr.write(`${error.message}\n\n${USAGE}`);
    return 2;
  }
};
