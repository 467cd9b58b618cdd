import { measure, type ProtocolMeasure } from '@unhindered/shared-types';
import * as v from 'valibot';
import listed from './catalogue.json' with { type: 'json' };

/** What is measured; the unit says in what. */
const quantity = v.picklist([
  'time',
  'angle',
  'acceleration',
  'length',
  'rate',
  'share',
  'volume',
  'count',
  'points',
  'pressure',
  'yes-no',
  'mass',
  'temperature',
]);

/**
 * What a threshold rests on: text of the source itself was seen; it was seen quoted elsewhere; it is from memory;
 * it is common practice without a source; it is this house's own. Null without a threshold.
 */
const basis = v.nullable(v.picklist(['seen', 'quoted', 'memory', 'practice', 'house']));

const catalogueMeasure = v.strictObject({ ...measure.entries, quantity, basis });

/** A measure of the house catalogue: what a protocol's measure is copied from, and what its threshold rests on. */
export type CatalogueMeasure = v.InferOutput<typeof catalogueMeasure>;

/**
 * The 61 measures of the practical day. Reject and warn limits are the house's own; a protocol carries its own copy
 * of the measures it uses, and entries are checked against that copy, so a published version never moves.
 */
export const CATALOGUE: readonly CatalogueMeasure[] = v.parse(v.array(catalogueMeasure), listed);

const BY_ID = new Map(CATALOGUE.map((m) => [m.id, m]));

/** The measure of the catalogue with this id; undefined when a protocol invented its own. */
export const catalogueMeasureOf = (id: ProtocolMeasure['id']): CatalogueMeasure | undefined =>
  BY_ID.get(id);
