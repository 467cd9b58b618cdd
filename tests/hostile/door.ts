import { request } from 'node:http';
import { connect } from 'node:net';
import type { Judgement } from './judgement.ts';

export interface HttpAnswer {
  status: number;
  headers: Record<string, string | string[] | undefined>;
  body: string;
  /** The connection was cut without an answer. */
  cut: boolean;
}

/** Sends exact bytes as the body of a request; an answer that never comes is `cut`. */
export const sendHttp = (
  url: string,
  path: string,
  options: { method?: string; headers?: Record<string, string>; body?: Buffer },
): Promise<HttpAnswer> =>
  new Promise((resolve) => {
    const { hostname, port } = new URL(url);
    const body = options.body ?? Buffer.alloc(0);
    const cut = (): void => resolve({ status: 0, headers: {}, body: '', cut: true });
    const message = request(
      {
        hostname,
        port,
        path,
        method: options.method ?? 'POST',
        headers: { 'content-length': String(body.length), ...options.headers },
        agent: false,
        timeout: 20_000,
      },
      (response) => {
        let text = '';
        response.setEncoding('utf8');
        response.on('data', (chunk: string) => (text += chunk));
        const end = (): void =>
          resolve({
            status: response.statusCode ?? 0,
            headers: response.headers,
            body: text,
            cut: false,
          });
        response.on('end', end);
        response.on('error', end);
      },
    );
    message.on('error', cut);
    message.on('timeout', () => message.destroy());
    message.end(body);
  });

/** Sends raw bytes to the port and resolves with what came back once the server closes, or after `ms`. */
export const sendRaw = (
  url: string,
  bytes: Buffer | string,
  ms: number,
): Promise<{ answer: string; closedAfterMs: number | undefined }> =>
  new Promise((resolve) => {
    const started = performance.now();
    let answer = '';
    const socket = connect(Number(new URL(url).port), '127.0.0.1', () => socket.write(bytes));
    const timer = setTimeout(() => {
      socket.destroy();
      resolve({ answer, closedAfterMs: undefined });
    }, ms);
    socket.on('data', (chunk: Buffer) => (answer += chunk.toString()));
    socket.on('error', () => undefined);
    socket.on('close', () => {
      clearTimeout(timer);
      resolve({ answer, closedAfterMs: performance.now() - started });
    });
  });

/** Reads an HTTP answer as an outcome; a refusal must say in words what is wrong. */
export const judgeHttp = (judged: Judgement, answer: HttpAnswer): void => {
  judged.answers.push(answer.body, JSON.stringify(answer.headers));
  if (answer.cut) {
    judged.outcome = 'ignored';
    return;
  }
  if (answer.status >= 200 && answer.status < 300) {
    judged.outcome = 'accepted-unchanged';
    return;
  }
  const clear = answer.status >= 400 && answer.status < 500 && isClear(answer.body);
  judged.outcome = clear ? 'rejected-with-clear-error' : undefined;
};

/** A body `{error: {code, message}}` with a sentence for a person. */
export const isClear = (body: string): boolean => {
  try {
    const { error } = JSON.parse(body) as { error?: { code?: unknown; message?: unknown } };
    return typeof error?.code === 'string' && /\w+ \w+/u.test(String(error.message));
  } catch {
    return false;
  }
};
