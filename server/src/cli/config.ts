import { isIP } from 'node:net';
import * as v from 'valibot';
import { dataDirectory, readFlags, UsageError } from './read-flags.ts';

/** How the server is to run: flags win over the environment, which wins over the defaults. */
export interface Config {
  host: string;
  port: number;
  dataDirectory: string;
  names: string[];
  tls: { cert: string; key: string } | null;
  /** A reverse proxy, on this machine or on a network that only it reaches, takes TLS and says where requests come from. */
  proxy: boolean;
  newSignInLink: boolean;
  logLevel: string;
  /** `postgres://…` for a store that several processes share; null for the file in the data directory. */
  store: string | null;
  /** `redis://…`, over which processes on one store tell each other what changed. */
  bus: string | null;
  /** Where the operator's figures are served, apart from everything else; null for nowhere. */
  metrics: { host: string; port: number } | null;
  /** Seconds between being told to stop and stopping, in which a load balancer looks elsewhere. */
  drain: number;
  /** Most bytes of one photo and of one clip. */
  media: { photo: number; clip: number };
}

const port = v.pipe(v.string(), v.regex(/^\d{1,5}$/u), v.transform(Number), v.maxValue(65535));

export const DEFAULT_PORT = '4780';

const address = (name: string, form: RegExp, value: string | undefined): string | null => {
  if (value === undefined || value === '') return null;
  if (!form.test(value) || !URL.canParse(value)) {
    throw new UsageError(
      `${name} is an address such as ${name === 'STORE' ? 'postgres' : 'redis'}://host/…`,
    );
  }
  return value;
};

/** Where several servers keep what they share; null for the file. */
export const storeAddress = (value: string | undefined): string | null =>
  address('STORE', /^postgres(ql)?:\/\//u, value);

const DRAIN = /^\d{1,3}$/u;

const drainOf = (value: string | undefined): number => {
  if (value === undefined || value === '') return 0;
  if (DRAIN.test(value)) return Number(value);
  throw new UsageError(`DRAIN is a number of seconds from 0 to 999, not "${value}".`);
};

/** A port, or host:port. */
const metricsOf = (value: string | undefined): Config['metrics'] => {
  if (value === undefined || value === '') return null;
  const colon = value.lastIndexOf(':');
  const host = value.slice(0, Math.max(colon, 0)).replace(/^\[(.*)\]$/u, '$1') || '127.0.0.1';
  const parsed = v.safeParse(port, value.slice(colon + 1));
  if (parsed.success) return { host, port: parsed.output };
  throw new UsageError(`METRICS is a port, or an address such as 127.0.0.1:9480, not "${value}".`);
};

/** Most bytes of a photo and of a clip where nothing else is set. */
export const MEDIA_LIMITS = { photo: 15_000_000, clip: 60_000_000 };

const megabytes = (name: string, value: string | undefined, otherwise: number): number => {
  if (value === undefined || value === '') return otherwise;
  if (!/^[1-9]\d{0,2}$/u.test(value) || Number(value) > 200) {
    throw new UsageError(`${name} is a whole number of megabytes from 1 to 200, not "${value}".`);
  }
  return Number(value) * 1_000_000;
};

/** Reads flags and environment of `serve`. Throws a UsageError that names the setting. */
export const readConfig = (
  argv: readonly string[],
  environment: Readonly<Record<string, string | undefined>>,
): Config => {
  const { values } = readFlags(argv, {
    options: {
      host: { type: 'string' },
      port: { type: 'string' },
      'data-dir': { type: 'string' },
      name: { type: 'string', multiple: true },
      'tls-cert': { type: 'string' },
      'tls-key': { type: 'string' },
      proxy: { type: 'boolean' },
      'private-network': { type: 'boolean' },
      'new-sign-in-link': { type: 'boolean' },
      'log-level': { type: 'string' },
      store: { type: 'string' },
      bus: { type: 'string' },
      metrics: { type: 'string' },
      drain: { type: 'string' },
      'max-photo-mb': { type: 'string' },
      'max-clip-mb': { type: 'string' },
    },
  });
  const portText = values.port ?? environment['PORT'] ?? DEFAULT_PORT;
  const parsed = v.safeParse(port, portText);
  if (!parsed.success) throw new UsageError(`PORT is a number from 0 to 65535, not "${portText}".`);
  const { 'tls-cert': cert, 'tls-key': key } = values;
  if ((cert === undefined) !== (key === undefined)) {
    throw new UsageError('--tls-cert and --tls-key go together.');
  }
  const host = values.host ?? environment['HOST'] ?? '127.0.0.1';
  const proxy = values.proxy ?? false;
  const alone = isLoopback(host) || values['private-network'] === true;
  if (proxy && (cert !== undefined || !alone)) {
    throw new UsageError(
      '--proxy goes with a HOST of this machine (127.0.0.1), or with --private-network where nobody but the proxy ' +
        'reaches HOST, and without --tls-cert: nobody may reach around the proxy.',
    );
  }
  const store = storeAddress(values.store ?? environment['STORE']);
  const bus = address('BUS', /^rediss?:\/\//u, values.bus ?? environment['BUS']);
  if (bus !== null && store === null) {
    throw new UsageError('BUS is for servers that share a STORE; a data directory has one server.');
  }
  const { 'max-photo-mb': most = environment['MAX_PHOTO_MB'] } = values;
  const { 'max-clip-mb': longest = environment['MAX_CLIP_MB'] } = values;
  return {
    host,
    media: {
      photo: megabytes('MAX_PHOTO_MB', most, MEDIA_LIMITS.photo),
      clip: megabytes('MAX_CLIP_MB', longest, MEDIA_LIMITS.clip),
    },
    proxy,
    store,
    bus,
    metrics: metricsOf(values.metrics ?? environment['METRICS']),
    drain: drainOf(values.drain ?? environment['DRAIN']),
    port: parsed.output,
    dataDirectory: dataDirectory(values['data-dir'], environment),
    names: values.name ?? [],
    tls: cert !== undefined && key !== undefined ? { cert, key } : null,
    newSignInLink: values['new-sign-in-link'] ?? false,
    logLevel: values['log-level'] ?? environment['LOG_LEVEL'] ?? 'info',
  };
};

/** Whether an address is reached from this machine only. */
export const isLoopback = (host: string): boolean =>
  host === 'localhost' || host === '::1' || (isIP(host) === 4 && host.startsWith('127.'));
