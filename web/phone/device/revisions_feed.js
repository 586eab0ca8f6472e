// Which revisions stand, asked for again and again while a page without marks is seen.

import { getJson } from './asking.js';

const POLL_MS = 15000;
/** A sequence number that no mark has reached: the answer holds none. */
const NO_MARKS = Number.MAX_SAFE_INTEGER;

/** A feed {start()}: `onRevisions({bunker: revision}, true)` gets all those of a hole. */
export function createRevisionsFeed({ url, hole, onRevisions }) {
  const turn = () => {
    if (document.visibilityState === 'hidden') return;
    getJson(`${url}?hole=${hole}&since=${NO_MARKS}`).then(({ revisions }) => { if (revisions) onRevisions(revisions, true); }, () => {});
  };
  const start = () => {
    turn();
    setInterval(turn, POLL_MS);
    addEventListener('online', turn);
    document.addEventListener('visibilitychange', turn);
  };
  return { start };
}
