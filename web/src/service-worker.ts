/** The part of a service worker's surroundings that is used here; the page's own types know none of it. */
interface WorkerEvent extends Event {
  waitUntil(work: Promise<void>): void;
  respondWith(response: Promise<Response>): void;
  request: Request;
}
const worker = globalThis as unknown as {
  location: Location;
  clients: { claim(): Promise<void> };
  addEventListener(type: string, handle: (event: WorkerEvent) => void): void;
};

/** The language that this worker keeps; so the worker of another language is another file, and takes its place. */
const LANGUAGE: string = import.meta.env.MODE;

/** The list that the build writes: every file of this version in this language, and the version's name. */
interface Precache {
  version: string;
  files: string[];
}

const list = async (): Promise<Precache> => {
  const response = await fetch(`/precache.json?${LANGUAGE}`, { cache: 'no-store' });
  return (await response.json()) as Precache;
};

/** How many files are fetched at once: whoever rates meanwhile keeps most of the line. */
const LANES = 2;

const install = async (): Promise<void> => {
  const { version, files } = await list();
  const cache = await caches.open(version);
  const left = ['/', ...files];
  const lane = async (): Promise<void> => {
    for (let file = left.shift(); file !== undefined; file = left.shift()) await cache.add(file);
  };
  await Promise.all(Array.from({ length: LANES }, lane));
};

/**
 * A new version takes over when the pages of the old one are closed, never in the middle of a session. The very first page
 * of a device came before any worker: it is taken on, or the next version would see no page, take over at once and delete
 * the files that this one has yet to ask for.
 */
const activate = async (): Promise<void> => {
  await worker.clients.claim();
  const { version } = await list().catch(() => ({ version: '' }));
  if (version === '') return;
  for (const key of await caches.keys()) if (key !== version) await caches.delete(key);
};

const pageOffline = async (request: Request): Promise<Response> => {
  try {
    return await fetch(request);
  } catch {
    return (await caches.match('/')) ?? Response.error();
  }
};

const answer = async (request: Request): Promise<Response> =>
  (await caches.match(request)) ?? fetch(request);

worker.addEventListener('install', (event) => event.waitUntil(install()));
worker.addEventListener('activate', (event) => event.waitUntil(activate()));
worker.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  const ours = url.origin === worker.location.origin && request.method === 'GET';
  // What people rate never passes through here: not the interface, not the sockets.
  if (!ours || /^\/(api|live|sync|healthz|precache)/u.test(url.pathname)) return;
  if (request.mode === 'navigate') event.respondWith(pageOffline(request));
  else if (url.pathname.startsWith('/assets/') || /\.(svg|webmanifest)$/u.test(url.pathname)) {
    event.respondWith(answer(request));
  }
});
