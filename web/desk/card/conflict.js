// Somebody else's draft came first: who, when, what, and the three ways on.

import { differences } from '../post/differences.js';
import { el } from '../../phone/view/element.js';

/** `ask(theirs, base)` opens the dialog; `ways` are {takeTheirs(theirs), putMine(theirs), keepBoth(theirs, id)}, the last gives a fault or null. */
export function createConflict(board, node, ways, mine) {
  const [dialog, who, what, both, fault] = ['conflict', 'conflict-who', 'conflict-what', 'both-id', 'conflict-fault'].map(node);
  let theirs = null;

  const chosen = (act) => () => {
    dialog.close();
    act(theirs);
  };
  node('take-theirs').addEventListener('click', chosen(ways.takeTheirs));
  node('put-mine').addEventListener('click', chosen(ways.putMine));
  node('keep-both').addEventListener('click', () => {
    fault.textContent = ways.keepBoth(theirs, both.value.trim()) ?? '';
    if (fault.textContent === '') dialog.close();
  });
  dialog.addEventListener('cancel', (event) => event.preventDefault());

  return {
    ask: (found, base) => {
      theirs = found;
      const before = base ?? mine();
      const words = differences(before, found.document, board.units.ground, board.ground_scale);
      who.textContent = `${found.person || 'Somebody'} saved another drawing of it${whenWords(found.madeAt)}, while you were drawing.${words.length ? ' What changed there:' : ''}`;
      what.replaceChildren(...words.map((line) => el('li', {}, line)));
      both.value = freeId(board, mine().bunker.id);
      if (!dialog.open) dialog.showModal();
    },
  };
}

function whenWords(madeAt) {
  if (!madeAt) return '';
  const at = new Date(madeAt);
  return ` on ${at.toLocaleDateString('en-GB', { day: 'numeric', month: 'long' })} at ${at.toLocaleTimeString('en-GB', { hour: '2-digit', minute: '2-digit' })}`;
}

/** A short name that no bunker of the board has: '4-right-2'. */
function freeId(board, id) {
  const taken = new Set(board.bunkers.map((bunker) => bunker.id));
  for (let number = 2; ; number += 1) if (!taken.has(`${id}-${number}`)) return `${id}-${number}`;
}
