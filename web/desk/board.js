// The drawing board of a hole: what lies on it is asked for, the bunker on it is opened, and its parts are wired together.

import { createLook } from './card/look.js';
import { createFigures } from './draft/figures.js';
import { beginNew, openBunker } from './drawing.js';
import { createPointing, pulling } from './sheet/pointing.js';
import { createSheet } from './sheet/sheet.js';

const AWAY = 'The drawing board cannot be opened: the server does not answer. Load the page again in a moment.';
const LIMIT_MS = 15_000;
const node = (id) => document.getElementById(id);
const { api, hole, bunker } = node('board').dataset;

async function start() {
  const board = await fetch(`${api}/holes/${hole}/board`, { cache: 'no-store', signal: AbortSignal.timeout(LIMIT_MS) }).then((answer) => (answer.ok ? answer.json() : null), () => null);
  if (board === null) return fail(AWAY);
  if (bunker !== '') return openBunker({ board, figuresOf: createFigures(board), bunker, node, fail });
  return openHole(board);
}

/** The whole hole, with no bunker on the board. */
function openHole(board) {
  let teeId = board.tees[0].id;
  const sheet = createSheet(node('sheet'), board, null, () => ({ doc: null, figures: null, teeId, chosen: [], outlineId: null, mayEdit: false }));
  const look = createLook(sheet, node('layers'));
  node('tee').addEventListener('change', ({ target }) => {
    teeId = target.value;
    look('whole');
  });
  createPointing(node('sheet'), { press: (pressed) => pulling(sheet.look, pressed), ...sheet.look });
  if (board.may_edit) beginNew({ board, sheet, node });
}

function fail(words) {
  node('board-fault').hidden = false;
  node('board-fault').textContent = words;
}

start();
