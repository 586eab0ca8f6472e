// The worker that keeps the page on this phone: asked for, watched, and told when it may bring a newer release.

const PATIENCE_MS = 20000;
const ANSWER_MS = 5000;

/**
 * state(): {state: 'asking' | 'kept' | 'missing', fault, newer, isBusy}. Fault, where it is missing: 'insecure' (no secure
 * page), 'unsupported', 'certificate' (the browser does not trust it, so it keeps nothing), 'not reached', 'incomplete'.
 * `thrown`: what registering the worker threw. `newer`: a newer release waits; `isBusy`: it was asked to come and waits for a set-out page. `onTaken()`: it came.
 */
export function createOffline({ url, scope, onChange = () => {}, onTaken = () => {} }) {
  const workers = globalThis.navigator.serviceWorker;
  let found = { state: 'asking', fault: null, thrown: null, newer: false, isBusy: false };
  let [registration, starting, isWatched] = [null, null, false];
  const set = (changes) => { found = { ...found, ...changes }; onChange(found); };
  const missing = (fault, thrown = null) => set({ state: 'missing', fault, thrown });

  const start = () => (starting ??= begin());

  const begin = async () => {
    if (!isSecureContext) return missing('insecure');
    if (!workers) return missing('unsupported');
    watchControl();
    try {
      registration = await workers.register(url, { scope, updateViaCache: 'none' });
    } catch (fault) {
      return missing(fault.name === 'SecurityError' ? 'certificate' : 'not reached', fault);
    }
    registration.addEventListener('updatefound', watchInstalling);
    watchInstalling();
    return see();
  };

  /** See that the page is kept whole, once it is asked for: now, where that did not begin yet or failed. */
  const check = () => {
    if (registration !== null) return see();
    if (found.state === 'missing') starting = null;
    return start();
  };

  /** The worker looks, and fetches again what has gone missing. */
  const see = async () => {
    const ready = await Promise.race([workers.ready, after(PATIENCE_MS)]);
    if (!ready) return missing('not reached');
    const answer = await tell(ready.active, 'check', PATIENCE_MS);
    return answer?.whole ? set({ state: 'kept', fault: null, thrown: null }) : missing('incomplete');
  };

  const watchInstalling = () => {
    const coming = registration.installing;
    const look = () => set({ newer: registration.waiting !== null && registration.active !== null });
    coming?.addEventListener('statechange', look);
    look();
  };

  const watchControl = () => {
    if (isWatched) return;
    isWatched = true;
    let hadOne = workers.controller !== null;
    workers.addEventListener('controllerchange', () => { if (hadOne) onTaken(); hadOne = true; });
  };

  /** Let a newer release come, which its worker does only when nobody sets out. */
  const takeNewer = async () => {
    if (!registration?.waiting) return;
    const answer = await tell(registration.waiting, 'skip', ANSWER_MS);
    set({ isBusy: answer?.isBusy === true });
  };

  return { start, check, takeNewer, state: () => found, look: () => registration?.update().catch(() => {}) };
}

/** Ask a worker; undefined when it does not answer within so long: it may have to fetch what has gone missing. */
function tell(worker, ask, withinMs) {
  const { port1, port2 } = new MessageChannel();
  const answer = new Promise((resolve) => { port1.onmessage = ({ data }) => resolve(data); });
  worker.postMessage({ ask }, [port2]);
  return Promise.race([answer, after(withinMs)]);
}

const after = (ms) => new Promise((resolve) => { setTimeout(resolve, ms); });
