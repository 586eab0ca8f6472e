// 'One more outline': beside the one in hand, worked out by the server, or pressed out point by point on the plan.

import { addOutline } from '../draft/edits.js';
import { askWork } from '../post/server.js';
import { firstFault, typedLength } from './typed.js';

const AWAY = 'The server cannot be reached, and it works out what lies beside an outline; try again in a moment.';
const [BEGIN, END] = ['Begin pressing', 'It is all pressed'];

/** Draw an outline beside the one in hand. `api` is the address of the site's interface. */
export function createOffset(api, board, bench, node) {
  const [by, side, part, fault] = ['offset-by', 'offset-side', 'offset-part', 'shape-fault'].map(node);
  node('offset').addEventListener('click', async () => {
    const [typed, outline] = [typedLength(by.value, board.units.ground, 'how far beside it lies'), bench.outline()];
    fault.textContent = firstFault(typed) ?? (outline ? '' : 'Take an outline in hand first.');
    if (fault.textContent !== '') return;
    const offset = Number(side.value) * typed.lengthM;
    const { body, isAway, words } = await askWork(`${api}/outline/offset`, { outline, by_m: offset, part: part.value, hole: board.hole.number });
    fault.textContent = isAway ? AWAY : words ?? '';
    if (!body) return;
    const { curve, closed, points } = body.outline;
    bench.edit((doc) => addOutline(doc, { part: part.value, curve, closed, points }), `draw the ${part.value}`);
    bench.hand(bench.state().doc.outlines.at(-1).id);
  });
}

/**
 * An outline that is pressed out: {isOpen(), press(x, y), back(), places(), open(), save(), restore(saved)}; `pressed()` is told when
 * that changes. It joins the draft once it is all there; until then `save` gives what there is, or null, and `restore` goes on with it.
 */
export function createNewOutline(bench, node, pressed) {
  const [button, part, shape, bar, end, fault] = ['press-new', 'new-part', 'new-closed', 'pressing', 'press-end', 'press-fault'].map(node);
  let places = null;

  const show = () => {
    if (places !== null) node('one-more').open = true;
    bar.hidden = places === null;
    button.textContent = places === null ? BEGIN : END;
    button.setAttribute('aria-pressed', String(places !== null));
    pressed();
  };
  const open = () => {
    [places, fault.textContent] = [[], ''];
    show();
  };
  const close = () => {
    const [closed, points] = [shape.value === 'closed', places];
    const least = closed ? 3 : 2;
    fault.textContent = points.length > 0 && points.length < least ? `A ${shape.value} line needs ${least} points at least; press some more.` : '';
    if (fault.textContent !== '') return;
    places = null;
    show();
    if (points.length === 0) return;
    bench.edit((doc) => addOutline(doc, { part: part.value, curve: 'smooth', closed, points }), `draw the ${part.value}`);
    bench.hand(bench.state().doc.outlines.at(-1).id);
  };
  button.addEventListener('click', () => (places === null ? open() : close()));
  end.addEventListener('click', close);

  return {
    open: (wanted) => {
      part.value = wanted;
      open();
    },
    isOpen: () => places !== null,
    places: () => places ?? [],
    save: () => (places?.length ? { places, part: part.value, shape: shape.value } : null),
    restore: (saved) => {
      places = saved?.places ?? null;
      if (saved) [part.value, shape.value] = [saved.part, saved.shape];
      show();
    },
    press: (x, y) => {
      places = [...places, [x, y]];
      show();
    },
    /** Take the last place back; whether there was one. */
    back: () => {
      if (!places?.length) return false;
      places = places.slice(0, -1);
      show();
      return true;
    },
  };
}
