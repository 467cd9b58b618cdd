import { refused, type Outcome } from '@unhindered/shared-types';
import type { App, LiveEvaluation } from './app.ts';
import { exportBundle } from './export-bundle.ts';
import type { RecordForm } from './records.ts';

/** One form of the record of a locked evaluation. Who may ask is the caller's to check, as for the bundle. */
export const readRecord = async (
  app: App,
  live: LiveEvaluation,
  form: RecordForm,
  names: boolean,
): Promise<Outcome<Uint8Array>> => {
  const bundle = await exportBundle(app, live);
  if (!bundle.ok) return bundle;
  const { bytes } = await app.records.of({ ...form, bundle: bundle.value, names });
  if (bytes === null) {
    return refused('unknown-thing', 'There is no such file.');
  }
  return { ok: true, value: bytes };
};
