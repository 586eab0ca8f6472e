// Somebody else's draft came first: who, when, what, and the three ways on.

import { el } from '../../phone/view/element.js';

/** `ask(theirs)` opens the dialog; `ways` are {takeTheirs(theirs), putMine(theirs), keepBoth(theirs, id)}, the last gives a fault or null. */
export function createConflict(board, node, ways, mine) {
  const [dialog, what, both, fault] = ['conflict', 'conflict-what', 'both-id', 'conflict-fault'].map(node);
  let theirs = null;

  /** Close the dialog for good; gives the draft that it asked about. */
  const settled = () => {
    const found = theirs;
    theirs = null;
    dialog.close();
    return found;
  };
  const chosen = (act) => () => act(settled());
  node('take-theirs').addEventListener('click', chosen(ways.takeTheirs));
  node('put-mine').addEventListener('click', chosen(ways.putMine));
  node('keep-both').addEventListener('click', async () => {
    fault.textContent = await ways.keepBoth(theirs, both.value.trim()) ?? '';
    if (fault.textContent === '') settled();
  });
  dialog.addEventListener('cancel', (event) => event.preventDefault());
  dialog.addEventListener('close', () => { if (theirs !== null) dialog.showModal(); });  // a second Escape closes it unasked

  return {
    ask: (found) => {
      theirs = found;
      what.replaceChildren(...found.changes.map((sentence) => el('li', {}, `${sentence}.`)));
      both.value = freeId(board, mine().bunker.id);
      if (!dialog.open) dialog.showModal();
    },
    close: settled,
  };
}

/** A short name that no bunker of the board has: '4-right-2'. */
function freeId(board, id) {
  const taken = new Set(board.bunkers.map((bunker) => bunker.id));
  for (let number = 2; ; number += 1) if (!taken.has(`${id}-${number}`)) return `${id}-${number}`;
}
