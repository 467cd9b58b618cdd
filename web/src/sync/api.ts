import type {
  FirstLookAnswer,
  JoinAnswer,
  JoinBody,
  LookAnswer,
  LookBody,
  MeAnswer,
  Outcome,
  PassphraseBody,
  Protocol,
  RecordDocument,
  Rejection,
  SignInBody,
  TicketAnswer,
  TicketBody,
} from '@unhindered/shared-types';
import { words } from '../words/shell.ts';

const offline: Rejection = {
  code: 'try-again',
  message: words.offline,
};

/** One request to the JSON interface. */
export const call = async <T>(path: string, init?: RequestInit): Promise<Outcome<T>> => {
  try {
    const response = await fetch(`/api${path}`, init);
    const body = (await response.json()) as T | { error: Rejection };
    if (response.ok) return { ok: true, value: body as T };
    const { error } = body as { error?: Rejection };
    return { ok: false, rejection: error ?? offline };
  } catch {
    return { ok: false, rejection: offline };
  }
};

export const post = <T>(path: string, body: unknown): Promise<Outcome<T>> =>
  call(path, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  });

/** The JSON interface of the server. A network fault is a refusal like any other. */
export const api = {
  me: () => call<MeAnswer>('/me'),
  firstLook: (evaluation: string) => call<FirstLookAnswer>(`/evaluations/${evaluation}/first-look`),
  protocolOf: (evaluation: string) => call<Protocol>(`/evaluations/${evaluation}/protocol`),
  signIn: (body: SignInBody) => post<object>('/sign-in', body),
  passphrase: (body: PassphraseBody) => post<object>('/passphrase', body),
  signOut: () => post<object>('/sign-out', {}),
  look: (body: LookBody) => post<LookAnswer>('/invitations/look', body),
  join: (body: JoinBody) => post<JoinAnswer>('/invitations/use', body),
  ticket: (body: TicketBody) => post<TicketAnswer>('/tickets', body),
  record: (evaluation: string) => call<RecordDocument>(`/evaluations/${evaluation}/record`),
  protocol: (id: string, version: string) => call<Protocol>(`/protocols/${id}/${version}`),
};
