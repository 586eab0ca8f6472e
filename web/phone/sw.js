// The worker that keeps the phone's pages on the phone. The server puts one line before this text: self.KEPT, with the
// release, every file of it, and the shells. It touches nothing but the shells and the files of releases; a new release
// waits until no set-out page and none of pegs is open, so that old and new modules never meet.

const { release, files, shells } = self.KEPT;
const PREFIX = 'app-';
const CACHE = `${PREFIX}${release}`;
const ROOT = self.location.pathname.replace(/\/sw\.js$/, '');
/** The same in a URL pattern: what stands for something there stands for itself. */
const PLAIN_ROOT = ROOT.replace(/[+*?(){}:\\]/g, '\\$&');
const WANTED = [...files, ...Object.values(shells)];
const SET_OUT = /^\/sites\/[^/]+\/set-out\/[^/]+$/;
const PEGS = /^\/sites\/[^/]+\/pegs\/[^/]+$/;
const PLACES = /^\/sites\/[^/]+\/places$/;
const FIELD = /^\/field\/[^/]+$/;
const OWN_PATHS = ['/s/*', '/sites/:site/set-out/:bunker', '/sites/:site/pegs/:bunker', '/sites/:site/places', '/field/:site'];

self.addEventListener('install', (event) => {
  passBy(event);
  event.waitUntil(keep(WANTED));
});

self.addEventListener('activate', (event) => event.waitUntil(takeOver()));

self.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== self.location.origin) return;
  const path = ownPath(url);
  if (request.mode === 'navigate') {
    const name = shellName(path);
    if (name !== null) event.respondWith(shellOr(shells[name], request));
  } else if (path.startsWith('/s/')) {
    event.respondWith(fileOr(request));
  }
});

self.addEventListener('message', (event) => {
  const [port] = event.ports;
  const answer = { skip, check }[event.data?.ask];
  if (port && answer) event.waitUntil(answer().then((found) => port.postMessage({ release, ...found }), () => port.postMessage({ release, whole: false })));
});

const ownPath = (url) => (url.pathname.startsWith(`${ROOT}/`) ? url.pathname.slice(ROOT.length) : '');

function shellName(path) {
  if (SET_OUT.test(path)) return 'set-out';
  if (PEGS.test(path)) return 'pegs';
  if (PLACES.test(path)) return 'places';
  return FIELD.test(path) ? 'field' : null;
}

/**
 * Have the browser send all else past the worker. Chromium asks the network while it starts a worker, and where the server
 * is down then and the worker leaves the page to the network, the page never ends loading.
 */
function passBy(event) {
  const own = OWN_PATHS.map((path) => ({ condition: { urlPattern: { pathname: `${PLAIN_ROOT}${path}` } }, source: 'fetch-event' }));
  const rest = { condition: { urlPattern: { pathname: '/*' } }, source: 'network' };
  event.addRoutes?.([...own, rest]).catch(() => {});
}

/** Fetch and keep; an answer that is refused or redirected makes the whole of it fail. */
async function keep(urls) {
  const cache = await caches.open(CACHE);
  await cache.addAll(urls.map((url) => new Request(url, { cache: 'reload', redirect: 'error' })));
}

async function takeOver() {
  await self.clients.claim();
  await forgetOthers();
}

/** Forget other releases, unless a page at work may still need one. */
async function forgetOthers() {
  if (await isSettingOut()) return;
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith(PREFIX) && name !== CACHE).map((name) => caches.delete(name)));
}

async function shellOr(url, request) {
  const kept = await fromCache((cache) => cache.match(url, { ignoreVary: true }));
  return kept ?? fetch(request);
}

/** A file of a release: this one's, or one still kept for a page that was opened before. */
async function fileOr(request) {
  const kept = await fromCache((cache) => cache.match(request, { ignoreVary: true }));
  return kept ?? (await caches.match(request, { ignoreVary: true }).catch(() => undefined)) ?? fetch(request);
}

const fromCache = (look) => caches.open(CACHE).then(look).catch(() => undefined);

async function isSettingOut() {
  const pages = await self.clients.matchAll({ type: 'window', includeUncontrolled: true });
  return pages.some((page) => [SET_OUT, PEGS, PLACES].some((own) => own.test(ownPath(new URL(page.url)))));
}

/** Take over at once, but never under somebody who sets out. */
async function skip() {
  const isBusy = await isSettingOut();
  if (!isBusy) await self.skipWaiting();
  return { isBusy };
}

/** Whether every file is still kept; what has gone missing is fetched again. */
async function check() {
  const cache = await caches.open(CACHE);
  const held = new Set((await cache.keys()).map(({ url }) => new URL(url).pathname));
  const gone = WANTED.filter((url) => !held.has(url));
  if (gone.length > 0) await keep(gone);
  return { whole: true };
}
