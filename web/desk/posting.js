// The post of the bunker on the board, what its sign says, and what comes of a draft that somebody else put first.

import { createConflict } from './card/conflict.js';
import { idFault } from './card/begin.js';
import { keepFirst } from './first_kept.js';
import { createPost } from './post/post.js';

const SIGNS = {
  kept: () => 'Kept here, goes to the server in a moment',
  sending: () => 'Going to the server',
  saved: (number) => (number > 0 ? `Draft ${number} is saved` : 'As it was issued'),
  away: () => 'Not sent: the server cannot be reached. Kept in this browser; it is tried again by itself',
  refused: (words) => `Not taken by the server: ${words} Kept in this browser`,
  unnamed: () => 'Type under “who draws” who you are: then it goes to the server. Kept in this browser',
  unkept: () => 'This browser keeps nothing: leave the page only once the draft is saved',
  met: () => 'Somebody else changed this bunker: choose how to go on',
};
const DANGER = new Set(['away', 'refused', 'unnamed', 'unkept', 'met']);

/** The post, wired to bench and sign: {changed(), open()}. */
export function startPost({ board, bench, bunker, local, node, seen, api, boardUrl }) {
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
      bench.edit(() => theirs.document, 'take the other drawing');
      post.settle(theirs, true);
    },
    putMine: (theirs) => post.settle(theirs, false),
    keepBoth: (theirs, id) => {
      const wrong = idFault(board, id);
      if (wrong === null) keepBoth(theirs, id);
      return wrong;
    },
  }, doc);

  const keepBoth = async (theirs, id) => {
    const mine = { ...doc(), bunker: { ...doc().bunker, id }, from: { revision: null, site_version: null } };
    await local.read(id).catch(() => undefined);
    if (!await keepFirst(local, mine)) download(mine);
    bench.edit(() => theirs.document, 'take the other drawing');
    await post.settle(theirs, true);
    location.assign(`${boardUrl}?bunker=${encodeURIComponent(id)}`);
  };

  const met = (theirs) => {
    sign('met');
    conflict.ask(theirs);
  };
  const post = createPost({
    address: `${api}/bunkers/${encodeURIComponent(bunker)}/draft`,
    first: seen,
    keep: (kept) => local.write(bunker, kept),
    doc,
    steps: () => bench.save(),
    person: whoDraws(node('person'), () => post.send()),
    sign,
    met,
  });

  return {
    changed: post.changed,
    open: () => {
      if (seen.isSent) return sign('saved', seen.number);
      sign(seen.isAway ? 'away' : 'kept');
      return post.send();
    },
  };
}

const NAME_KEY = 'fieldapp-board-person';

/** Who signs: null until a name is typed where the link is a crew's, undefined where the link itself says who. */
function whoDraws(field, named) {
  if (field === null) return () => undefined;
  try {
    field.value = localStorage.getItem(NAME_KEY) ?? '';
  } catch {
    field.value = '';
  }
  field.addEventListener('change', () => {
    try {
      localStorage.setItem(NAME_KEY, field.value.trim());
    } catch {
      // A browser that keeps nothing asks for the name again.
    }
    named();
  });
  return () => field.value.trim() || null;
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
