import * as v from 'valibot';

/** A code and never a name: signs that a name is not written with, one digit at least. */
export const MODEL_CODE = /^(?=[A-Z-]*[0-9])[A-Z0-9-]{1,12}$/u;

/** The code of a model: the living person who wears the piece. */
export const modelCode = v.pipe(
  v.string(),
  v.regex(MODEL_CODE, 'Use a code with a digit, such as M3, and no name.'),
);
