import { fork } from 'node:child_process';
import { join } from 'node:path';
import type { Report } from './bystander-process.ts';

const SCRIPT = join(import.meta.dirname, 'bystander-process.ts');

export interface Bystander {
  /** What was acknowledged since the last report. */
  report: () => Promise<Report>;
  /** Forgets what was acknowledged so far. */
  reset: () => void;
  stop: () => void;
}

/** Starts the reviewer next door; resolves after its first acknowledged edit. */
export const startBystander = async (
  url: string,
  cookie: string,
  evaluation: string,
): Promise<Bystander> => {
  const child = fork(SCRIPT, [url, cookie, evaluation], {
    execArgv: ['--import', 'tsx'],
    stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
  });
  await new Promise<void>((resolve, reject) => {
    child.once('message', () => resolve());
    child.once('exit', (code) => reject(new Error(`the bystander ended with ${String(code)}`)));
  });
  return {
    report: () =>
      new Promise<Report>((resolve, reject) => {
        const gone = (): void => reject(new Error('the bystander is gone'));
        child.once('exit', gone);
        child.once('message', (message) => {
          child.off('exit', gone);
          resolve(message as Report);
        });
        child.send('report');
      }),
    reset: () => void child.send('reset'),
    stop: () => void child.kill('SIGKILL'),
  };
};
