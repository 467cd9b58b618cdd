import { existsSync } from 'node:fs';
import { resolve } from 'node:path';
import { line } from '@unhindered/shared-types';
import * as v from 'valibot';
import { dataDirectory, readFlags, UsageError } from './read-flags.ts';
import { askControl, controlPath, type ControlAnswer, type ControlAsk } from './control.ts';

const parsed = (argv: readonly string[]) =>
  readFlags(argv, {
    allowPositionals: true,
    options: { 'data-dir': { type: 'string' } },
  });

const askOf = ([verb, name, ...rest]: readonly string[]): ControlAsk => {
  if (verb === 'list' && name === undefined) return { do: 'workspaces' };
  const read = v.safeParse(line(1, 80), name);
  if ((verb !== 'add' && verb !== 'link') || rest.length > 0 || !read.success) {
    throw new UsageError('workspace takes: add NAME, link NAME, or list.');
  }
  return { do: verb === 'add' ? 'add-workspace' : 'link-workspace', name: read.output };
};

const words = (answer: ControlAnswer & { ok: true }): string =>
  answer.link === undefined
    ? (answer.workspaces ?? []).map(({ name }) => name || '(the first one)').join('\n')
    : `Its lead signs in once, within a day: ${answer.link}`;

/**
 * `workspace add NAME`: the running server makes room for one more organisation and prints its lead's one-time
 * sign-in link; `link NAME` makes another link, `list` names them. Organisations cannot see each other.
 */
export const workspace = async (argv: readonly string[]): Promise<number> => {
  const { values, positionals } = parsed(argv);
  const ask = askOf(positionals);
  const directory = resolve(dataDirectory(values['data-dir']));
  const path = existsSync(directory) ? controlPath(directory) : undefined;
  const answer = path === undefined ? undefined : await askControl(path, ask);
  if (!answer) {
    process.stderr.write(`No server runs on ${directory}. Start it first, then ask again.\n`);
    return 2;
  }
  if (!answer.ok) {
    const taken = answer.why.includes('UNIQUE') ? 'there is a workspace of that name' : answer.why;
    process.stderr.write(`Not done: ${taken}.\n`);
    return 1;
  }
  process.stdout.write(`${words(answer)}\n`);
  return 0;
};
