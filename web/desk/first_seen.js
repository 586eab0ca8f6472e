// Which draft of a bunker to open: the one kept in this browser with its steps, or the server's.

import { createHistory, restoreHistory } from './draft/history.js';
import { askDraft } from './post/server.js';

const NOWHERE = 'There is no such bunker on this hole, standing or drawn; choose one, or begin it.';
const AWAY = 'The server does not answer, and nothing of this bunker is kept in this browser; load the page again in a moment.';

/**
 * {history, number, base, isSent, theirs, isAway}: the steps to open, the number they grew from and its draft, whether the draft
 * of now is on the server, and `theirs` where another draft was put there since; or {words} why nothing can be opened.
 */
export async function firstSeen({ local, bunker, address }) {
  const [kept, asked] = await Promise.all([local.read(bunker).catch(() => undefined), askDraft(address)]);
  const history = kept ? restored(kept.steps) : null;
  if (asked.words) return asked;
  if (asked.isAway) return history ? { history, number: kept.number, base: kept.base, isSent: kept.isSent, isAway: true } : { words: AWAY };
  if (history === null && asked.document === null) return { words: NOWHERE };
  if (history === null) return ofServer(asked);
  const isSame = asked.document !== null && JSON.stringify(asked.document) === JSON.stringify(history.doc);
  if (isSame) return { history, number: asked.number, base: history.doc, isSent: asked.number > 0 };
  if (kept.isSent) return asked.document === null ? { words: NOWHERE } : ofServer(asked);
  const theirs = asked.number === kept.number ? null : asked;
  return { history, number: kept.number, base: kept.base, isSent: false, theirs };
}

const ofServer = ({ number, document }) => ({ history: createHistory(document), number, base: document, isSent: true });

function restored(steps) {
  try {
    return restoreHistory(steps);
  } catch {
    return null;
  }
}
