// What the page fetches: the bundle of the hole, kept on the phone for when there is no signal.

import { getJson } from './asking.js';

/**
 * The bundle: {bundle, keptAt} with keptAt null when it is fresh. The kept one stands in when the server is not reached
 * or unwell, not when it says that there is no such hole or that nobody is let in. Rejects when there is none to be had.
 */
export async function fetchBundle(url, keep, nowMs) {
  try {
    const bundle = await getJson(url);
    keep.set(`bundle ${url}`, { bundle, keptAt: nowMs }).catch(() => {});
    return { bundle, keptAt: null };
  } catch (fault) {
    if (fault.status >= 400 && fault.status < 500) throw fault;
    const kept = await keep.get(`bundle ${url}`).catch(() => undefined);
    if (kept === undefined) throw fault;
    return kept;
  }
}
