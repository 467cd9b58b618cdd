import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

const PACKAGE = '@expo-google-fonts/atkinson-hyperlegible-next';

/** The typeface of printed records, from its package: Atkinson Hyperlegible Next, SIL Open Font License 1.1. */
export const paperFonts = (): { regular: Uint8Array; bold: Uint8Array } => {
  const { resolve } = createRequire(import.meta.url);
  const cut = (name: string): Uint8Array =>
    readFileSync(resolve(`${PACKAGE}/${name}/AtkinsonHyperlegibleNext_${name}.ttf`));
  return { regular: cut('400Regular'), bold: cut('700Bold') };
};
