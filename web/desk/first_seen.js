// Which draft of a bunker to open: the one kept in this browser with its steps, or the server's.

import { createHistory, restoreHistory } from './draft/history.js';
import { askDraft } from './post/server.js';

const NOWHERE = 'There is no such bunker on this hole, standing or drawn; choose one, or begin it.';
const AWAY = 'The server does not answer, and nothing of this bunker is kept in this browser; load the page again in a moment.';

/**
 * {history, number, isSent, unsure, isAway, state, pending, remarks}: the steps to open, the number they grew from, whether the draft
 * of now is on the server, the drawings sent of which nobody heard whether they arrived, whether the server cannot be reached, what
 * state the server's is in, what was being pressed out, and what it remarks; or {words} why nothing can be opened.
 */
export async function firstSeen({ local, bunker, address }) {
  const [kept, asked] = await Promise.all([local.read(bunker).catch(() => undefined), askDraft(address)]);
  const history = kept ? restored(kept.steps) : null;
  if (asked.words) return asked;
  const pending = kept?.pending ?? null;
  const mine = { history, number: kept?.number, isSent: kept?.isSent, unsure: kept?.unsure, state: asked.state, pending, remarks: asked.remarks ?? [] };
  if (asked.isAway) return history ? { ...mine, isAway: true } : { words: AWAY };
  const isSame = history !== null && asked.document !== null && JSON.stringify(asked.document) === JSON.stringify(history.doc);
  if (isSame || isOwnSave(kept, asked, history)) return { ...mine, number: asked.number, isSent: true };
  if (history !== null && !kept.isSent) return { ...mine, isSent: false };
  return asked.document === null ? { words: NOWHERE } : { ...ofServer(asked), pending };
}

/** Whether the open draft of the server is the very save that is kept here. */
const isOwnSave = (kept, asked, history) => history !== null && kept.isSent && asked.state === 'open' && kept.number === asked.number;

const ofServer = ({ number, document, state, remarks }) => ({ history: createHistory(document), number, isSent: true, state, remarks });

function restored(steps) {
  try {
    return restoreHistory(steps);
  } catch {
    return null;
  }
}
