import { SheetWriter } from './document-door.ts';
import type { World } from './world.ts';

/** The sealed sheet of Ada, written by one device. */
export interface AdaSheet extends SheetWriter {
  document: string;
}

const writers = new WeakMap<World, AdaSheet>();
/** A Yjs client id of no meaning. */
export const ADA_CLIENT = 4_242_424;

/** The one device that writes Ada's sheet of the sealed evaluation. */
export const adaWrites = async (world: World): Promise<AdaSheet> => {
  const known = writers.get(world);
  if (known) return known;
  const { client } = world.people.ada;
  await client.until('a sheet', (v) => v.me?.sheets.length === 1);
  const document = client.view.me?.sheets[0]?.document ?? '';
  const writer = Object.assign(new SheetWriter(client, world.sealed, document, ADA_CLIENT), {
    document,
  });
  writers.set(world, writer);
  return writer;
};
