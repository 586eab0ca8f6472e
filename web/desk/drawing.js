// One bunker on the board: its draft is found, here or on the server, and sheet, card, keys and post are wired to it.

import { createBegin } from './card/begin.js';
import { createLook } from './card/look.js';
import { createMeasures } from './card/measures.js';
import { createNewOutline, createOffset } from './card/outlines.js';
import { createPlace } from './card/place.js';
import { createPlan } from './card/plan.js';
import { createPoints } from './card/points.js';
import { createSaves } from './card/saves.js';
import { createShape } from './card/shape.js';
import { createBench } from './bench.js';
import { el } from '../phone/view/element.js';
import { createHistory } from './draft/history.js';
import { createHolding } from './holding.js';
import { listenToKeys } from './keys.js';
import { createLeaving } from './leaving.js';
import { createPace } from './pace.js';
import { createLocal } from './post/local.js';
import { keepFirst } from './first_kept.js';
import { putDraft } from './post/server.js';
import { firstSeen } from './first_seen.js';
import { KEPT_ALREADY, startPost } from './posting.js';
import { createPointing } from './sheet/pointing.js';
import { createSheet } from './sheet/sheet.js';
import { createTurning } from './turning.js';

const UNKEPT = 'It can be kept neither in this browser nor on the server just now; try again in a moment.';

/** Open a bunker's draft on the board. */
export async function openBunker({ board, figuresOf, bunker, node, fail }) {
  const { api, board: boardUrl } = node('board').dataset;
  const local = createLocal(board.site.id);
  const address = `${api}/bunkers/${encodeURIComponent(bunker)}/draft`;
  const turning = board.may_edit ? createTurning({ name: `board ${board.site.id}/${bunker}`, node }) : null;
  const isMine = turning !== null && await turning.claim();
  const seen = await firstSeen({ local, bunker, address });
  if (seen.words) return fail(seen.words);
  tell(node, seen.remarks);

  const refused = (words) => { node('step-fault').textContent = words; };
  const bench = createBench({ history: seen.history, figuresOf, teeId: teeOf(board, seen.history.doc), mayEdit: isMine, refused });
  node('tee').value = bench.state().teeId;
  const parts = { newOutline: null };
  const sheet = createSheet(node('sheet'), board, bunker, () => Object.assign(bench.state(), { pending: parts.newOutline?.isOpen() ? parts.newOutline.places() : null }));
  const look = createLook(sheet, node('layers'));
  const cards = [createMeasures(board, node)];
  const pace = createPace([sheet.drawShape, () => { if (bench.state().isDragging) sheet.drawNear(); }, sheet.drawArcs, () => cards.forEach((card) => card.draw(bench.state()))]);
  const drawAll = () => pace.draw(bench.state().isDragging);
  bench.listen(drawAll);
  node('tee').addEventListener('change', ({ target }) => bench.measureFrom(target.value));
  if (!board.may_edit) {
    createPointing(node('sheet'), { press: createHolding({ bench, sheet }), ...sheet.look });
    return drawAll();
  }

  const post = startPost({ board, bench, bunker, local, node, address, boardUrl, seen: { ...seen, isResting: !isMine }, pending: () => parts.newOutline.save() });
  parts.newOutline = createNewOutline(bench, node, () => {
    drawAll();
    post.keep();
  });
  cards.push(createPlace(board, bench, node, sheet.look.seek), createPlan(board, bench, node), createShape(board, bench, node), createPoints(bench, node), createSteps(bench, parts.newOutline, node));
  createSaves({ address, bench, post, node, person: post.person, gone: () => location.assign(boardUrl) });
  createOffset(api, board, bench, node);
  createLeaving({ ways: node('ways'), fault: node('ways-fault'), flush: post.flush });
  const ways = () => ({ isSeveral: node('several').checked, isAdding: node('adding').checked, movesOne: node('move-one').checked });
  createPointing(node('sheet'), { press: createHolding({ bench, sheet, ways, newOutline: parts.newOutline }), ...sheet.look, isTaken: pace.isTaken });
  listenToKeys(node('sheet'), { bench, sheet, scale: board.ground_scale, look, newOutline: parts.newOutline });
  bench.listen((what) => { if (what === 'doc' && !bench.state().isDragging) post.changed(); });
  beginNew({ board, sheet, node, local, bearingOf: () => bench.state().figures.play_bearing_deg });
  const find = () => firstSeen({ local: { read: local.readAgain }, bunker, address });
  const turn = createTurn({ bench, post, newOutline: parts.newOutline, find, fail });
  turning.wire(turn);
  drawAll();
  post.open();
  if (isMine) turn.press(seen);
  return undefined;
}

/** What follows where another tab of this browser takes the bunker over, or leaves it to this one. */
function createTurn({ bench, post, newOutline, find, fail }) {
  const press = ({ pending }) => {
    if (pending) newOutline.restore(pending);
    else if (bench.state().doc.outlines.length === 0) newOutline.open('sand edge');
  };
  return {
    press,
    allow: (mayDraw) => {
      bench.allow(mayDraw);
      if (mayDraw) return;
      newOutline.restore(null);
      post.leave();
    },
    handOver: () => {
      bench.allow(false);
      return post.rest();
    },
    /** Open what the other tab left behind; whether it could be. */
    open: async () => {
      const found = await find();
      if (found.words) {
        fail(found.words);
        return false;
      }
      bench.restart(found.history);
      post.resume(found);
      bench.allow(true);
      press(found);
      return true;
    },
  };
}

/** Tell what the server remarks of the draft: the first always seen, the others where it is opened. */
function tell(node, remarks) {
  const [first = '', ...others] = remarks;
  node('board-remarks').hidden = remarks.length === 0;
  node('board-remarks').classList.toggle('of-one', others.length === 0);
  node('board-remark').textContent = others.length ? `${first} And ${others.length} more.` : first;
  node('board-remarks-list').replaceChildren(...others.map((words) => el('li', {}, words)));
}

const teeOf = (board, doc) => (board.tees.find(({ id }) => id === doc.plan?.tee) ?? board.tees[0]).id;

/** The two buttons of the steps, in words. */
function createSteps(bench, newOutline, node) {
  const [undo, redo, fault] = ['undo', 'redo', 'step-fault'].map(node);
  const back = () => { if (!newOutline.back()) bench.undo(); };
  undo.addEventListener('click', back);
  redo.addEventListener('click', bench.redo);
  const show = (button, words, verb) => {
    const said = words === null ? `Nothing to ${verb}` : `${verb[0].toUpperCase()}${verb.slice(1)}: ${words}`;
    if (button.textContent !== said) button.textContent = said;
    button.disabled = words === null;
  };
  return {
    draw: () => {
      const [words, pressed] = [bench.stepWords(), newOutline.places().length];
      if (fault.textContent !== '') fault.textContent = '';
      show(undo, pressed > 0 ? `press point ${pressed}` : words.undo, 'undo');
      show(redo, words.redo, 'redo');
    },
  };
}

/** Wire 'begin a new bunker': its draft is kept here, and the board opens on it. */
export function beginNew({ board, sheet, node, local = createLocal(board.site.id), bearingOf = () => null }) {
  const { api, board: boardUrl } = node('board').dataset;
  const fault = node('begin-fault');
  const go = (id) => location.assign(`${boardUrl}?bunker=${encodeURIComponent(id)}`);
  createBegin(board, node, {
    where: () => ({ centre: sheet.camera().centre, bearingDeg: bearingOf() ?? sheet.camera().upDeg }),
    begun: async (doc) => {
      const { id } = doc.bunker;
      const kept = await local.read(id).catch(() => undefined);
      if (kept && !kept.isSent) return void (fault.textContent = `'${id}' ${KEPT_ALREADY}`);
      if (await keepFirst(local, doc)) return go(id);
      const answer = await putDraft(`${api}/bunkers/${encodeURIComponent(id)}/draft`, doc, 0, node('person')?.value.trim());
      if (answer.number !== undefined) return go(id);
      return void (fault.textContent = answer.words ?? UNKEPT);
    },
  });
}
