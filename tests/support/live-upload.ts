import type { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import type { livePanel } from './live-panel.ts';
import { DETAILS } from './specimen.ts';
import { shade } from './photo.ts';

/** Sends a file whole to a running server, by tus 1.0.0; the id of the upload. */
export const liveUpload = async (
  { url, cookie }: SeatClient,
  home: `evaluations/${string}` | `panels/${string}`,
  file: Buffer,
): Promise<string> => {
  const headers = { cookie, origin: url, 'tus-resumable': '1.0.0' };
  const begun = await fetch(`${url}/api/${home}/uploads`, {
    method: 'POST',
    headers: { ...headers, 'upload-length': String(file.length) },
  });
  const at = begun.headers.get('location') ?? '';
  const sent = await fetch(`${url}${at}`, {
    method: 'PATCH',
    headers: {
      ...headers,
      'upload-offset': '0',
      'content-type': 'application/offset+octet-stream',
    },
    body: new Uint8Array(file),
  });
  if (sent.status !== 204) throw new Error(`${String(begun.status)}, ${String(sent.status)}`);
  return at.slice(at.lastIndexOf('/') + 1);
};

type Live = Pick<Awaited<ReturnType<typeof livePanel>>, 'moderator' | 'panel' | 'evaluation'>;

/** Attaches a photo to the evaluation; its id. */
export const attachLive = async ({ moderator, evaluation }: Live, n: number): Promise<string> => {
  const media = await liveUpload(moderator, `evaluations/${evaluation}`, shade(n));
  await moderator.onEvaluation({
    type: 'attach-media',
    media,
    place: { of: 'task', task: 'aed-pads' },
    description: 'The strap from the left',
    withoutFaces: true,
  });
  return media;
};

/** Registers a specimen and shows it by a photo; both ids. */
export const showLive = async ({ moderator, panel }: Live, n: number) => {
  const made = await moderator.onPanel(panel, { type: 'register-specimen', details: DETAILS });
  if (made?.kind !== 'specimen') throw new Error('no specimen');
  const { specimen } = made;
  const photo = await liveUpload(moderator, `panels/${panel}`, shade(n));
  const add = { type: 'add-specimen-photo', specimen, photo, caption: 'The left side' } as const;
  await moderator.onPanel(panel, { ...add, withoutFaces: true });
  return { specimen, photo };
};
