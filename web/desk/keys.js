// The keys of the drawing board: on the plan, and undo and redo anywhere but in a field.

import { addPoint, deletePoints, movePoints } from './draft/edits.js';
import { wayToCourse } from './sheet/camera.js';

const ARROWS = { ArrowUp: [0, -1], ArrowDown: [0, 1], ArrowLeft: [-1, 0], ArrowRight: [1, 0] };
const [NUDGE_M, FAR_NUDGE_M, PULL_PX, CLOSER] = [0.1, 1, 48, 1.25];
const TYPED_IN = 'input:not([type=checkbox]):not([type=radio]), textarea, select';

/** Listen to keys: `node` is the plan; `scale` is ground metres per course metre. */
export function listenToKeys(node, { bench, sheet, scale, look, newOutline }) {
  const onPlan = {
    PageDown: () => next(bench, 1),
    PageUp: () => next(bench, -1),
    Escape: () => bench.choose([]),
    Insert: () => putInAfter(bench),
    Delete: () => takeOut(bench),
    '+': () => sheet.look.zoom(CLOSER),
    '=': () => sheet.look.zoom(CLOSER),
    '-': () => sheet.look.zoom(1 / CLOSER),
    Home: () => look('bunker'),
    End: () => look('whole'),
    Enter: () => { if (newOutline.isOpen()) newOutline.press(...sheet.camera().centre); },
  };
  node.addEventListener('keydown', (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const arrow = ARROWS[event.key];
    const act = arrow ? () => nudge(arrow, event.shiftKey ? FAR_NUDGE_M : NUDGE_M) : onPlan[event.key];
    if (!act) return;
    event.preventDefault();
    act();
  });

  const nudge = ([right, down], lengthM) => {
    const { chosen, outlineId } = bench.state();
    if (chosen.length === 0) return sheet.look.pull(-right * PULL_PX, -down * PULL_PX);
    const px = (lengthM / scale) * sheet.camera().pxPerM;
    const [dx, dy] = wayToCourse(sheet.camera(), right * px, down * px);
    const words = chosen.length > 1 ? `nudge ${chosen.length} points` : `nudge point ${chosen[0] + 1}`;
    return bench.edit((doc) => movePoints(doc, outlineId, chosen, dx, dy), words);
  };

  document.addEventListener('keydown', (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || event.target.closest?.(TYPED_IN)) return;
    const key = event.key.toLowerCase();
    const isRedo = key === 'y' || (key === 'z' && event.shiftKey);
    if (!isRedo && key !== 'z') return;
    event.preventDefault();
    if (isRedo) bench.redo();
    else if (!newOutline.back()) bench.undo();
  });
}

function next(bench, step) {
  const count = bench.outline()?.points.length ?? 0;
  if (count === 0) return;
  const { chosen } = bench.state();
  const from = chosen.length ? chosen.at(-1) : step > 0 ? -1 : 0;
  bench.choose([(from + step + count) % count]);
}

/** Put a point in half way from the chosen one to the next. */
export function putInAfter(bench) {
  const [{ chosen }, outline] = [bench.state(), bench.outline()];
  if (!outline || chosen.length === 0) return;
  const { id, points, closed } = outline;
  const at = chosen.at(-1);
  const isLast = at === points.length - 1 && !closed;
  const [[ax, ay], [bx, by]] = isLast ? [points[at], [2 * points[at][0] - points[at - 1][0], 2 * points[at][1] - points[at - 1][1]]] : [points[at], points[(at + 1) % points.length]];
  if (bench.edit((doc) => addPoint(doc, id, at, (ax + bx) / 2, (ay + by) / 2), `put in point ${at + 2}`)) bench.choose([at + 1]);
}

/** Take out the points chosen. */
export function takeOut(bench) {
  const { chosen, outlineId } = bench.state();
  if (chosen.length === 0) return;
  const words = chosen.length > 1 ? `take out ${chosen.length} points` : `take out point ${chosen[0] + 1}`;
  if (bench.edit((doc) => deletePoints(doc, outlineId, chosen), words)) bench.choose([]);
}
