// What the page fetches: the bundle of the hole, kept on the phone for when there is no signal, and marks since.

import { faultOf } from './answer_fault.js';

const TIMEOUT_MS = 8000;
const POLL_MS = 10000;

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

async function getJson(url) {
  const answer = await fetch(url, { signal: AbortSignal.timeout(TIMEOUT_MS), cache: 'no-store' });
  if (!answer.ok) throw await faultOf(answer);
  return answer.json();
}

/** Ask for marks of a hole again and again; `onMarks(marks, askedAt)` gets all that stand. */
export function createMarksFeed({ url, hole, onMarks }) {
  let sequence = 0;
  let known = new Map();
  let asking = false;
  const ask = async () => {
    if (asking || document.visibilityState === 'hidden') return;
    asking = true;
    const askedAt = Date.now();
    try {
      const news = await getJson(`${url}?hole=${hole}&since=${sequence}`);
      if (sequence === 0 || news.sequence < sequence) known = new Map();
      news.marks.forEach((mark) => known.set(mark.id, mark));
      (news.undone ?? []).forEach((id) => known.delete(id));
      if (news.sequence >= sequence) onMarks([...known.values()], askedAt);
      sequence = news.sequence >= sequence ? news.sequence : 0;
    } catch {
      // No signal: what is known stays, and the next turn asks again.
    } finally {
      asking = false;
    }
  };
  const start = () => {
    ask();
    setInterval(ask, POLL_MS);
    addEventListener('online', ask);
    document.addEventListener('visibilitychange', ask);
  };
  return { start };
}
