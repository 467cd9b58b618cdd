import { readFileSync } from 'node:fs';
import type { Bundle } from '@unhindered/shared-types';
import { verifyBundle, type Verification } from '../verify/verify-bundle.ts';
import { readFlags, UsageError } from './read-flags.ts';
import { checkMedia } from './verify-media.ts';

const options = (argv: readonly string[]) =>
  readFlags(argv, {
    allowPositionals: true,
    options: {
      key: { type: 'string' },
      seen: { type: 'string', multiple: true },
      media: { type: 'string' },
      json: { type: 'boolean' },
    },
  });

const readable = (file: string): Buffer | undefined => {
  try {
    return readFileSync(file);
  } catch {
    process.stderr.write(`${file} cannot be read.\n`);
    return undefined;
  }
};

type Since = NonNullable<Verification['facts']>['since'];

/** What the log says of the record after its lock. */
const becameOf = (since: Since | undefined): string[] => [
  ...(since?.superseded == null ? [] : [`SUPERSEDED by the evaluation ${since.superseded}.`]),
  ...(since?.withdrawn == null ? [] : [`WITHDRAWN after the lock: ${since.withdrawn}`]),
];

const report = (v: Verification): string[] => {
  const [finding] = v.findings;
  if (finding) return [`DOES NOT HOLD (${finding.step}): ${finding.where} ${finding.what}.`];
  const { facts } = v;
  const verdict = facts?.result.verdict;
  const composite = facts?.result.composite.value;
  return [
    v.anchored
      ? 'HOLDS, signed by the key you named.'
      : 'HOLDS IN ITSELF, BUT IS NOT ANCHORED: anyone can sign with a key of their own. Name the key you trust with --key.',
    `${String(facts?.events ?? 0)} events and ${String(facts?.checkpoints ?? 0)} checkpoints of ${facts?.origin ?? ''}.`,
    ...(facts?.invented === true
      ? ['INVENTED: demonstration material; no such piece exists.']
      : []),
    `Log head ${facts?.root ?? ''}.`,
    verdict?.kind === 'care-was-blocked'
      ? `Verdict: care was blocked at: ${verdict.tasks.join(', ')}.`
      : 'Verdict: no confirmed critical failure.',
    composite && 'value' in composite
      ? `Composite of settled values: ${composite.value} (recomputed).`
      : 'There is no composite.',
    ...becameOf(facts?.since),
    ...v.remarks.map((r) => `Note (${r.step}): ${r.where} ${r.what}.`),
    'Proven: the events are complete, unchanged and in order, and every figure follows from them.',
    'Not proven: the time of day, who sat at a device, and that the key was in the right hands.',
  ];
};

/** What the files beside the bundle are, in words; with faults the record is not whole. */
const mediaLines = ({ files, faults }: Awaited<ReturnType<typeof checkMedia>>): string[] =>
  faults.length === 0
    ? [`Photos and clips: ${String(files)}, each there with its hash.`]
    : faults.map(({ file, what }) => `PHOTO OR CLIP: ${file} ${what}.`);

/** `verify BUNDLE`: 0 holds, 1 does not hold, 2 cannot be read. */
export const verify = async (argv: readonly string[]): Promise<number> => {
  const { values, positionals } = options(argv);
  const [file, ...rest] = positionals;
  if (file === undefined || rest.length > 0) throw new UsageError('verify takes one bundle.');
  const bytes = readable(file);
  const seen = (values.seen ?? []).map((f) => readable(f)?.toString('utf8'));
  if (!bytes || seen.includes(undefined)) return 2;
  const verification = verifyBundle(bytes, {
    ...(values.key === undefined ? {} : { key: values.key }),
    seen: seen.filter((s) => s !== undefined),
  });
  const media =
    verification.ok && values.media !== undefined
      ? await checkMedia(JSON.parse(bytes.toString('utf8')) as Bundle, values.media)
      : undefined;
  const text =
    values.json === true
      ? JSON.stringify({ ...verification, ...(media ? { media } : {}) })
      : [...report(verification), ...(media ? mediaLines(media) : [])].join('\n');
  process.stdout.write(`${text}\n`);
  return verification.ok && (media?.faults.length ?? 0) === 0 ? 0 : 1;
};
