// The post of the bunker on the board, what its sign says, and what comes of a draft that somebody else put first.

import { createConflict } from './card/conflict.js';
import { idFault } from './card/begin.js';
import { keepFirst } from './first_kept.js';
import { createPost } from './post/post.js';

const SIGNS = {
  kept: () => 'Kept here, goes to the server in a moment',
  empty: () => 'Kept here, goes to the server once its first line is drawn',
  sending: () => 'Going to the server',
  saved: (number) => (number > 0 ? `Draft ${number} is saved` : 'As it was issued'),
  stands: () => 'As it was issued',
  given: () => 'The draft is given up: as it was issued',
  elsewhere: () => 'On the board in another tab',
  away: () => 'Not sent: the server cannot be reached, or can take nothing just now. Kept in this browser; it is tried again by itself',
  refused: (words) => `Not taken by the server: ${words} Kept in this browser`,
  unnamed: () => 'Type under “who draws” who you are: then it goes to the server. Kept in this browser',
  unkept: () => 'This browser keeps nothing: leave the page only once the draft is saved',
  met: () => 'Somebody else changed this bunker: choose how to go on',
};
/** Said of a short name under which a drawing is kept that nobody else has yet. */
export const KEPT_ALREADY = 'is kept in this browser already, not sent yet: open it, or give this one another short name.';
const DANGER = new Set(['away', 'refused', 'unnamed', 'unkept', 'met']);

/** The post, wired to bench and sign; `pending()` is what is being pressed out, or null. */
export function startPost({ board, bench, bunker, local, node, seen, pending, address, boardUrl }) {
  const place = node('post-sign');
  const sign = (what, more) => {
    place.textContent = SIGNS[what](more);
    place.classList.toggle('danger-words', DANGER.has(what));
    place.dataset.post = what;
  };
  const doc = () => bench.state().doc;
  const conflict = createConflict(board, node, {
    takeTheirs: (theirs) => {
      download(doc());
      takeTheirs(theirs);
      post.settle(theirs, true);
    },
    putMine: (theirs) => post.settle(theirs, false),
    keepBoth: (theirs, id) => idFault(board, id) ?? keepBoth(theirs, id),
  }, doc);

  const takeTheirs = ({ document, person }) => bench.edit(() => document, `take ${person}’s drawing`, null, person);

  const keepBoth = async (theirs, id) => {
    const mine = { ...doc(), bunker: { ...doc().bunker, id }, from: { revision: null, site_version: null } };
    const kept = await local.read(id).catch(() => undefined);
    if (kept && !kept.isSent) return `'${id}' ${KEPT_ALREADY}`;
    if (!await keepFirst(local, mine)) download(mine);
    takeTheirs(theirs);
    await post.settle(theirs, true);
    location.assign(`${boardUrl}?bunker=${encodeURIComponent(id)}`);
    return null;
  };

  const person = whoDraws(node('person'), () => post.send());
  const met = (theirs) => {
    sign('met');
    conflict.ask(theirs);
  };
  const post = createPost({
    address,
    first: seen,
    keep: (kept) => local.write(bunker, { ...kept, pending: pending() }),
    doc,
    steps: () => bench.save(),
    person,
    sign,
    met,
  });

  return {
    ...post,
    person,
    open: () => {
      if (seen.isResting) return sign('elsewhere');
      if (seen.isSent) return sign(['issued', 'given up'].includes(seen.state) ? 'stands' : 'saved', seen.number);
      sign(seen.isAway ? 'away' : 'kept');
      return post.send();
    },
    /** The draft was given up, and what stands is on the board. */
    givenUp: (stands) => {
      post.settle(stands, true);
      sign('given');
    },
    /** Another tab has the bunker now. */
    leave: () => {
      post.stop();
      conflict.close();
      sign('elsewhere');
    },
  };
}

const NAME_KEY = 'fieldapp-board-person';

/** Who signs: null until a name is typed where the link is a crew's, undefined where the link itself says who. */
function whoDraws(field, named) {
  if (field === null) return () => undefined;
  if (field.value.trim() === '') field.value = nameKept();
  else keepName(field.value.trim());
  field.addEventListener('change', () => {
    keepName(field.value.trim());
    named();
  });
  return () => field.value.trim() || null;
}

/** The name typed the last time; one typed while the page was still loading goes before it. */
function nameKept() {
  try {
    return localStorage.getItem(NAME_KEY) ?? '';
  } catch {
    return '';
  }
}

function keepName(name) {
  try {
    localStorage.setItem(NAME_KEY, name);
  } catch {
    // A browser that keeps nothing asks for the name again.
  }
}

/** Give a person their draft as a file. */
function download(doc) {
  const url = URL.createObjectURL(new Blob([JSON.stringify(doc, null, 1)], { type: 'application/json' }));
  const link = document.createElement('a');
  link.href = url;
  link.download = `${doc.bunker.id}-my-draft.json`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
