// What others do on this hole, asked for again and again while the page is seen: their marks since, and where they are.

import { getJson, postJson } from './asking.js';

const POLL_MS = 3000;
const LONGEST_MS = 15000;

/**
 * A feed {start()}. `onMarks(marks, askedAt)` gets all marks of the hole that stand, `onRevisions({bunker: revision}, true)` all that stand there; `presence()` is what this phone tells
 * of itself, null to tell nothing; `onOthers(others)` gets who else is there, none when the server is not reached;
 * `onReach(reach)` what became of the last questions: {missed: how many in a row went unanswered, fault: what the server said no with, or null}.
 */
export function createMarksFeed({ url, presenceUrl, hole, presence, onMarks, onRevisions, onOthers, onReach }) {
  const ask = createAsking({ url, hole, onMarks, onRevisions });
  let [waitMs, timer, isAsking, missed] = [POLL_MS, null, false, 0];

  const reach = (fault) => {
    missed = fault === null || fault.status ? 0 : missed + 1;
    onReach({ missed, fault: fault?.status ? fault : null });
  };

  const tell = async () => {
    const place = presence();
    onOthers(place === null ? [] : (await postJson(presenceUrl, place)).others);
  };

  const turn = async () => {
    if (isAsking || document.visibilityState === 'hidden') return;
    isAsking = true;
    clearTimeout(timer);
    try {
      await Promise.all([ask(), tell().catch(() => onOthers([]))]);
      waitMs = POLL_MS;
      reach(null);
    } catch (fault) {
      reach(fault);
      waitMs = Math.min(LONGEST_MS, waitMs * 2);
    } finally {
      isAsking = false;
      timer = setTimeout(turn, waitMs);
    }
  };

  const start = () => {
    turn();
    addEventListener('online', turn);
    document.addEventListener('visibilitychange', turn);
  };
  return { start };
}

/** Ask once more for what came since the last answer; a server that knows less than it did is asked for everything. */
function createAsking({ url, hole, onMarks, onRevisions }) {
  let sequence = 0;
  let known = new Map();
  return async () => {
    const askedAt = Date.now();
    const news = await getJson(`${url}?hole=${hole}&since=${sequence}`);
    if (sequence === 0 || news.sequence < sequence) known = new Map();
    news.marks.forEach((mark) => known.set(mark.id, mark));
    (news.undone ?? []).forEach((id) => known.delete(id));
    if (news.sequence >= sequence) onMarks([...known.values()], askedAt);
    sequence = news.sequence >= sequence ? news.sequence : 0;
    if (news.revisions) onRevisions(news.revisions, true);
  };
}
