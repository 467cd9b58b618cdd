import { Readable } from 'node:stream';
import type { CommandAnswer, PanelCommand } from '../../shared-types/src/index.ts';
import type { App, Identity } from '../../server/src/flows/app.ts';
import { beginUpload } from '../../server/src/flows/media.ts';
import { pngByHand } from './media-by-hand.ts';
import type { SeatedPanel } from './seated-panel.ts';

/** Uploads a file to a panel as its member would; the id of the upload. */
export const uploadToPanel = async (
  app: App,
  { panel }: SeatedPanel,
  who: Identity,
  file: Buffer,
): Promise<string> => {
  const begun = await beginUpload(app, { log: panel, seat: who.seat }, file.length);
  if (!begun.ok) throw new Error(begun.rejection.message);
  await app.media.append(begun.value, 0, Readable.from([file]));
  return begun.value;
};

/** A different picture for each shade. */
export const shade = (n: number): Buffer => pngByHand([], { shade: n });

/** Shows a specimen: uploads a picture and adds it. */
export const addPhoto = async (
  app: App,
  p: SeatedPanel,
  specimen: string,
  { file = shade(1), caption = 'The left side', who = p.moderator } = {},
): Promise<{ photo: string; answer: CommandAnswer }> => {
  const photo = await uploadToPanel(app, p, who, file);
  const command: PanelCommand = {
    type: 'add-specimen-photo',
    specimen,
    photo,
    caption,
    withoutFaces: true,
  };
  return { photo, answer: await p.onPanel(who, command) };
};
