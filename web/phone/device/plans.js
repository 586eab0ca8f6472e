// The plans of a site on this phone: its index and one bundle a hole, kept until the server gives newer ones.

import { faultOf } from './answer_fault.js';

const TIMEOUT_MS = 8000;
const INDEX = { format: 'fieldapp-field-index', version: 1 };

/**
 * Plans of the site whose index is at `indexUrl`. `canRead(bundle)` says whether this page knows a bundle's format; one
 * that it does not know is never kept in place of one that it does. A plan is {bundle, keptAt}: `keptAt` (ms) is when
 * the server last said that this is the newest.
 */
export function createPlans({ keep, indexUrl, canRead }) {
  const key = (url) => `bundle ${url}`;
  const remember = (name, entry) => keep.set(name, entry).then(() => true, () => false);

  /** What is kept of the index: {index, keptAt} or null. */
  const index = async () => known(await keep.get(`field ${indexUrl}`).catch(() => undefined), (held) => isIndex(held.index));

  /** The index as the server has it now; rejects with what the server said. */
  const freshIndex = async () => {
    const found = await ask(indexUrl);
    if (!isIndex(found)) throw new Error('what came is not a list of this site that this page can read.');
    await remember(`field ${indexUrl}`, { index: found, keptAt: Date.now() });
    return found;
  };

  /** The plan kept of one address, or null. */
  const plan = async (url) => known(await keep.get(key(url)).catch(() => undefined), (held) => canRead(held.bundle));

  /** The plan as the server has it now, kept from here on; {…, isKept}. Rejects, with `stranger` where its format is unknown. */
  const freshPlan = async (url) => {
    const held = await plan(url);
    const bundle = await ask(url, held?.bundle.content_id) ?? held.bundle;
    if (!canRead(bundle)) throw Object.assign(new Error('the plan is of a newer kind.'), { stranger: bundle });
    const fresh = { bundle, keptAt: Date.now() };
    return { ...fresh, isKept: await remember(key(url), fresh) };
  };

  /** The plan of a hole of the index; asks for it only when another one is kept. */
  const bringUpToDate = async (hole) => {
    const held = await plan(hole.bundle_url);
    if (held?.bundle.content_id !== hole.content_id) return freshPlan(hole.bundle_url);
    const same = { ...held, keptAt: Date.now() };
    return { ...same, isKept: await remember(key(hole.bundle_url), same) };
  };

  /** Bring every hole of an index up to date, one after the other; `onHole(hole, plan, fault)`. Returns the faults met. */
  const keepAll = async (found, onHole = () => {}) => {
    const faults = [];
    for (const hole of found.holes) {
      const [fresh, fault] = await bringUpToDate(hole).then((taken) => [taken, null], (thrown) => [null, thrown]);
      if (fault) faults.push(fault);
      onHole(hole, fresh, fault);
    }
    return faults;
  };

  return { index, freshIndex, plan, freshPlan, keepAll };
}

/** Ask for JSON; null when the server says that what has the id `held` is still the newest. */
async function ask(url, held) {
  const headers = held ? { 'If-None-Match': `W/"${held}"` } : {};
  const answer = await fetch(url, { signal: AbortSignal.timeout(TIMEOUT_MS), cache: 'no-store', headers });
  if (answer.status === 304) return null;
  if (!answer.ok) throw await faultOf(answer);
  return answer.json();
}

const isIndex = (found) => found?.format === INDEX.format && found.version === INDEX.version;

function known(held, isKnown) {
  return held !== undefined && isKnown(held) ? held : null;
}
