import { reject, type Outcome, type Rejection, type RejectionCode } from '@unhindered/shared-types';
import type { Request, Response } from 'express';
import * as v from 'valibot';

const STATUS: Partial<Record<RejectionCode, number>> = {
  'bad-input': 400,
  'not-signed-in': 401,
  'role-may-not': 403,
  'code-unknown': 404,
  'unknown-thing': 404,
  'link-ended': 410,
  'duplicate-command': 409,
  'draft-changed': 409,
  'protocol-faulty': 409,
  'version-order': 409,
  'not-ready-to-lock': 409,
  'too-many-tries': 429,
  'try-again': 503,
  'read-only': 503,
};

/** An error answer: `{error: {code, message}}` with the status that goes with the code. */
export const sendRejection = (response: Response, rejection: Rejection): void => {
  response.locals['refused'] = rejection.code;
  response.status(STATUS[rejection.code] ?? 400).json({ error: rejection });
};

/** The value as JSON, or the refusal. */
export const send = <T>(response: Response, outcome: Outcome<T>): void => {
  if (outcome.ok) response.json(outcome.value);
  else sendRejection(response, outcome.rejection);
};

/** What is wrong with something that was sent, and where in it; `whole` stands for all of it. */
export const misread = (issues: readonly v.BaseIssue<unknown>[], whole: string): Rejection => {
  const [first] = issues;
  const place = (first?.path ?? []).map((p) => String(p.key)).join('.');
  const where = place === '' ? whole : `"${place}"`;
  return reject('bad-input', `${where}: ${first?.message ?? 'not understood'}`, { place });
};

/** The body as its schema reads it; answers the request itself when it does not fit. */
export const readBody = <S extends v.GenericSchema>(
  schema: S,
  request: Request,
  response: Response,
): v.InferOutput<S> | undefined => {
  const parsed = v.safeParse(schema, request.body);
  if (parsed.success) return parsed.output;
  sendRejection(response, misread(parsed.issues, 'The body'));
  return undefined;
};

/** The filters of an address as their schema reads them, an empty one being none; answers the request itself else. */
export const readQuery = <S extends v.GenericSchema>(
  schema: S,
  request: Request,
  response: Response,
): v.InferOutput<S> | undefined => {
  const given = Object.entries(request.query).filter(([, value]) => value !== '');
  const parsed = v.safeParse(schema, Object.fromEntries(given));
  if (parsed.success) return parsed.output;
  sendRejection(response, misread(parsed.issues, 'The address'));
  return undefined;
};
