import { commandMessage, reject, type Rejection } from '@unhindered/shared-types';
import * as v from 'valibot';

/** What is wrong with a message, and where in it. */
export const badInput = (issues: readonly v.BaseIssue<unknown>[]): Rejection => {
  const [first] = issues;
  const place = (first?.path ?? []).map((p) => String(p.key)).join('.');
  const where = place === '' ? 'The message' : `"${place}"`;
  return reject('bad-input', `${where}: ${first?.message ?? 'not understood'}`, { place });
};

/** What a message asks, in the program's own words: the type of a command it knows, else the name of the message. */
export const asked = (name: string, input: unknown): string => {
  const parsed = name === 'command' ? v.safeParse(commandMessage, input) : undefined;
  return parsed?.success === true ? parsed.output.command.type : name;
};
