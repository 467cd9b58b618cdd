/**
 * Runs commands of the built program one after the other in one process, so that hundreds of files need no process
 * each; says what each printed, its exit code and how much memory it took.
 */
export interface Ran {
  code: number | null;
  out: string;
  err: string;
  /** Bytes the process grew by at its highest. */
  grown: number;
  polluted: boolean;
}

const built = new URL('../../server/dist/cli.js', import.meta.url).href;
const { main } = (await import(built)) as { main: (argv: readonly string[]) => Promise<number> };

const run = async (argv: readonly string[]): Promise<Ran> => {
  const said = { stdout: '', stderr: '' };
  const real = {
    stdout: process.stdout.write.bind(process.stdout),
    stderr: process.stderr.write.bind(process.stderr),
  };
  for (const name of ['stdout', 'stderr'] as const) {
    process[name].write = (chunk: string | Uint8Array) => {
      said[name] += Buffer.from(chunk as string).toString();
      return true;
    };
  }
  const before = process.memoryUsage.rss();
  const highest = process.resourceUsage().maxRSS;
  let code: number | null = null;
  try {
    code = await main(argv);
  } catch (error) {
    said.stderr += error instanceof Error ? (error.stack ?? error.message) : String(error);
  }
  process.stdout.write = real.stdout;
  process.stderr.write = real.stderr;
  // maxRSS is in KiB; when it did not rise, this command stayed below an earlier one.
  const now = process.resourceUsage().maxRSS;
  const grown = now > highest ? now * 1024 - before : 0;
  return { code, out: said.stdout, err: said.stderr, grown, polluted: 'polluted' in {} };
};

process.on('message', ({ n, argv }: { n: number; argv: string[] }) => {
  void run(argv).then((ran) => process.send?.({ n, ran }));
});
process.on('disconnect', () => process.exit(0));
