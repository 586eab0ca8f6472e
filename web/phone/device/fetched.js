// What the page fetches again and again: the marks of its hole that came since.

import { faultOf } from './answer_fault.js';

const TIMEOUT_MS = 8000;
const POLL_MS = 10000;

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
