import { protocol } from '@unhindered/shared-types';
import { toJsonSchema, type JsonSchema } from '@valibot/to-json-schema';
import type * as v from 'valibot';

const FORBIDS = /^Remove control/u;
const AT_LEAST = /^Write at least (\d+) characters/u;
const AT_MOST = /^Keep it to (\d+) characters/u;

/** Control characters and direction overrides that a text (not a line, whose white space is folded) may not hold. */
const NO_CONTROL =
  '[^\\u0000-\\u0008\\u000b-\\u001f\\u007f-\\u009f\\u202a-\\u202e\\u2066-\\u2069]*$';
const NO_CONTROL_IN_LINE =
  '[^\\u0000-\\u0008\\u000e-\\u001f\\u007f-\\u009f\\u202a-\\u202e\\u2066-\\u2069]*$';

/** Counted as the checks count: code points without the white space around, in a line each run of white space as one. */
const peoplesText = (isLine: boolean, min: number, max: number): JsonSchema => {
  const clear = isLine ? NO_CONTROL_IN_LINE : NO_CONTROL;
  const body = isLine
    ? `(?:\\S|\\s+(?=\\S)){0,${String(max)}}`
    : `(?:\\S[\\s\\S]{0,${String(max - 1)}})?`;
  return { type: 'string', pattern: `^(?=${clear})\\s*${min > 0 ? '(?=\\S)' : ''}${body}\\s*$` };
};

type Action = v.PipeItem<unknown, unknown, v.BaseIssue<unknown>>;

/**
 * Texts of people are checked by functions, which no generator sees into: their limits are read from the words of those
 * checks. The fold to one line comes before all of them, so `$comment` carries which kind it is until the last one.
 */
const readAction = (action: Action, so: JsonSchema): JsonSchema | undefined => {
  const kind = so.$comment;
  if (action.type === 'transform') return kind === undefined ? { ...so, $comment: 'line' } : so;
  const words = 'message' in action && typeof action.message === 'string' ? action.message : '';
  if (FORBIDS.test(words)) return { ...so, $comment: kind ?? 'text' };
  const min = AT_LEAST.exec(words)?.[1];
  if (min !== undefined) return { ...so, minLength: Number(min) };
  const max = AT_MOST.exec(words)?.[1];
  return max === undefined
    ? undefined
    : peoplesText(kind === 'line', so.minLength ?? 0, Number(max));
};

const ABOUT =
  'A protocol file of Unhindered. This schema says what one field alone may hold. It does not say what only the ' +
  'whole file shows: ids used twice or not at all, an anchor for every point, weights that add up to nothing, points ' +
  'of the scale in rising order from min to max, the datum and the points of endorsements among them. It counts characters before they are ' +
  'brought into one Unicode form and those nobody can see, and does not refuse minus zero. `unhindered protocol check FILE` finds all of it.';

/**
 * PR-5: the JSON Schema (draft 2020-12) of a protocol file, made from the schema that reads it. It takes everything that
 * the check takes; what it cannot say stands in its description.
 */
export const protocolSchema = (): JsonSchema => {
  const { $schema, ...rest } = toJsonSchema(protocol, {
    target: 'draft-2020-12',
    errorMode: 'ignore',
    overrideAction: ({ valibotAction, jsonSchema }) => readAction(valibotAction, jsonSchema),
  });
  return {
    ...($schema === undefined ? {} : { $schema }),
    $id: 'urn:unhindered:protocol:1',
    title: 'Protocol of an evaluation',
    description: ABOUT,
    ...rest,
  };
};
