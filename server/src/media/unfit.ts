/** Why bytes are not taken as a photo or clip. The message names the remedy for a person. */
export class Unfit extends Error {
  override name = 'Unfit';
}

/** A picture may have this many pixels: more is a bomb, or no photo of a phone. */
const MOST_PIXELS = 120_000_000;

/** ME-14: what a picture says of its size is looked at before anybody decodes it. Throws Unfit. */
export const checkPixels = (width: number, height: number): void => {
  if (width < 1 || height < 1) throw new Unfit('The picture has no size. Take it again.');
  if (width * height > MOST_PIXELS) {
    throw new Unfit('The picture has more than 120 million pixels. Send a smaller one.');
  }
};

/** The file ends in the middle, or its parts do not fit each other. */
export const damaged = (): Unfit =>
  new Unfit('The file is damaged or incomplete. Take or save it again and send that.');
