import type { Rejection } from '@unhindered/shared-types';

/** How far an upload is, or how it failed for good: its id is gone, or the server says why. */
export type UploadStep =
  { state: 'sent' } | { state: 'gone' } | { state: 'refused'; why: Rejection | null };

const TUS = { 'Tus-Resumable': '1.0.0' };
/** What is lost at most when the line is cut, and what must pass within the server's thirty seconds. */
const PIECE = 256 * 1024;

/** Thrown where the network or the server is at fault for the moment: the upload goes on later. */
export class Interrupted extends Error {}

const call = async (path: string, init: RequestInit): Promise<Response> => {
  let response: Response;
  try {
    response = await fetch(path, init);
  } catch {
    throw new Interrupted();
  }
  if (response.status >= 500 || response.status === 423) throw new Interrupted();
  return response;
};

const whyOf = async (response: Response): Promise<Rejection | null> => {
  const body = (await response.json().catch(() => null)) as { error?: Rejection } | null;
  return body?.error ?? null;
};

/** Where files go: `evaluations/<id>`, or `panels/<id>` for photos of specimens. */
export type UploadHome = `evaluations/${string}` | `panels/${string}`;

const uploads = (home: UploadHome): string => `/api/${home}/uploads`;

/** Begins an upload; its id, or why there is none. */
export const beginUpload = async (
  home: UploadHome,
  length: number,
): Promise<{ media: string } | { why: Rejection | null }> => {
  const headers = { ...TUS, 'Upload-Length': String(length) };
  const response = await call(uploads(home), { method: 'POST', headers });
  const location = response.headers.get('Location');
  if (response.status !== 201 || location === null) return { why: await whyOf(response) };
  return { media: location.slice(location.lastIndexOf('/') + 1) };
};

/** Sends what the server has not got yet, piece by piece. Throws Interrupted. */
export const sendRest = async (
  home: UploadHome,
  media: string,
  file: Blob,
  told: (offset: number) => void,
): Promise<UploadStep> => {
  const at = `${uploads(home)}/${media}`;
  const head = await call(at, { method: 'HEAD', headers: TUS });
  if (head.status !== 200) return { state: 'gone' };
  let offset = Number(head.headers.get('Upload-Offset'));
  told(offset);
  while (offset < file.size) {
    const headers = {
      ...TUS,
      'Content-Type': 'application/offset+octet-stream',
      'Upload-Offset': String(offset),
    };
    const body = file.slice(offset, offset + PIECE);
    const response = await call(at, { method: 'PATCH', headers, body });
    // Another tab of this device went on with it, or it was cancelled there.
    if (response.status === 409) throw new Interrupted();
    if (response.status === 404) return { state: 'gone' };
    if (response.status !== 204) return { state: 'refused', why: await whyOf(response) };
    offset = Number(response.headers.get('Upload-Offset'));
    told(offset);
  }
  return { state: 'sent' };
};

/** Forgets an upload on the server; silent when that cannot be done now, the server forgets it by itself. */
export const cancelUpload = async (home: UploadHome, media: string): Promise<void> => {
  await call(`${uploads(home)}/${media}`, { method: 'DELETE', headers: TUS }).catch(() => null);
};

/** Most bytes of a photo and of a clip; null without a network. */
export const uploadLimits = async (
  home: UploadHome,
): Promise<{ photo: number; clip: number } | null> => {
  const response = await call(`/api/${home}/media-limits`, {}).catch(() => null);
  return response?.ok ? ((await response.json()) as { photo: number; clip: number }) : null;
};
