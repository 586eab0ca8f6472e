// One bunker is drawn in one tab of a browser at a time: the others show it, say so, and can take it over.

import { createTurns } from './post/turns.js';

const ELSEWHERE = 'This bunker is on the board in another tab of this browser; here it can only be looked at, as it was when this page was opened. It can be drawn here once the other tab is closed.';
const ASKED = 'The other tab is asked to save and let go of it…';

/**
 * {claim(), wire(parts)}. `claim` settles with whether this tab may draw. `wire` is given what has to follow when that
 * changes: {allow(mayDraw), handOver(), open()}, the last reads what the other tab left behind.
 */
export function createTurning({ name, node }) {
  const [notice, words, button] = ['board-turn', 'board-turn-words', 'board-turn-take'].map(node);
  const { promise: wired, resolve: wire } = Promise.withResolvers();

  const show = (said, canAsk) => {
    notice.hidden = said === null;
    words.textContent = said ?? '';
    button.hidden = !canAsk;
  };
  const follow = (mayDraw) => {
    show(mayDraw ? null : ELSEWHERE, !mayDraw);
    document.querySelectorAll('[data-edits]').forEach((part) => { part.inert = !mayDraw; });
  };

  const turns = createTurns({
    name,
    gained: async () => {
      const parts = await wired;
      if (!await parts.open()) return;
      follow(true);
      parts.allow(true);
    },
    lost: async () => {
      const parts = await wired;
      parts.allow(false);
      follow(false);
    },
    handOver: async () => (await wired).handOver(),
  });
  button.addEventListener('click', () => {
    show(ASKED, false);
    turns.ask();
  });

  return {
    claim: async () => {
      const isMine = await turns.claim();
      follow(isMine);
      return isMine;
    },
    wire,
  };
}
