import type { Rejection, RejectionCode } from '@unhindered/shared-types';
import { reject } from '@unhindered/shared-types';
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

/** The body as its schema reads it; answers the request itself when it does not fit. */
export const readBody = <S extends v.GenericSchema>(
  schema: S,
  request: Request,
  response: Response,
): v.InferOutput<S> | undefined => {
  const parsed = v.safeParse(schema, request.body);
  if (parsed.success) return parsed.output;
  const [first] = parsed.issues;
  const place = (first.path ?? []).map((p) => String(p.key)).join('.');
  const where = place === '' ? 'The body' : `"${place}"`;
  sendRejection(response, reject('bad-input', `${where}: ${first.message}`, { place }));
  return undefined;
};
