// What a press on the sheet takes hold of: a point, a line with all that belongs to it, or the sheet itself.

import { addPoint, movePoints } from './draft/edits.js';
import { moveBunker } from './draft/whole.js';
import { toCourse, wayToCourse } from './sheet/camera.js';
import { pulling } from './sheet/pointing.js';
import { afterPoint, outlineUnder, pointUnder, REACH_PX } from './sheet/touching.js';

/**
 * A function for a press {px, py, kind, isMore} that gives what it holds, {move, end}. `ways()` says what a press does now:
 * {isSeveral, isAdding, movesOne}; `pressed(x, y)` takes places of a new outline while one is pressed out, else is null.
 */
export function createHolding({ bench, sheet, ways, newOutline }) {
  let turn = 0;

  const place = (px, py) => toCourse(sheet.camera(), px, py);

  const pullSheet = (pressed, tap) => pulling(sheet.look, pressed, tap);

  /** Hold what `moved(doc, dx, dy)` moves, from where it was pressed. */
  const carry = ({ px, py }, moved, words, tap) => {
    turn += 1;
    const [from, key] = [bench.state().doc, `drag ${turn}`];
    bench.drag(true);
    return {
      move: (x, y) => {
        const [dx, dy] = wayToCourse(sheet.camera(), x - px, y - py);
        bench.edit(() => moved(from, dx, dy), words, key);
      },
      end: (isTap) => {
        bench.drag(false);
        if (isTap) tap?.();
      },
    };
  };

  const holdPoint = (at, pressed) => {
    const { outlineId, chosen } = bench.state();
    const isMore = pressed.isMore || ways().isSeveral;
    if (!chosen.includes(at)) bench.choose([at], isMore);
    const tapped = () => { if (chosen.includes(at)) bench.choose([at], isMore); };
    const moving = bench.state().chosen;
    const words = moving.length > 1 ? `move ${moving.length} points` : `move point ${at + 1}`;
    return carry(pressed, (doc, dx, dy) => movePoints(doc, outlineId, moving, dx, dy), words, tapped);
  };

  const holdOutline = (id, pressed) => {
    const { doc, outlineId } = bench.state();
    const all = doc.outlines.find((one) => one.id === id).points.map((_, at) => at);
    const moved = ways().movesOne ? (from, dx, dy) => movePoints(from, id, all, dx, dy) : moveBunker;
    const words = ways().movesOne ? `move the ${id}` : 'move the bunker';
    return carry(pressed, moved, words, () => { if (id !== outlineId) bench.hand(id); });
  };

  const putIn = ({ px, py }) => {
    const { id, points, closed } = bench.outline();
    const after = afterPoint(sheet.camera(), points, closed, px, py);
    if (bench.edit((doc) => addPoint(doc, id, after, ...place(px, py)), `put in point ${after + 2}`)) bench.choose([after + 1]);
  };

  return (pressed) => {
    const { px, py, kind } = pressed;
    const [{ doc, figures, mayEdit }, reach] = [bench.state(), REACH_PX[kind] ?? REACH_PX.mouse];
    if (!mayEdit) return pullSheet(pressed);
    if (newOutline.isOpen()) return pullSheet(pressed, () => newOutline.press(...place(px, py)));
    const at = bench.outline() ? pointUnder(sheet.camera(), bench.outline().points, px, py, reach) : null;
    if (at !== null) return holdPoint(at, pressed);
    if (ways().isAdding && bench.outline()) return pullSheet(pressed, () => putIn(pressed));
    const traces = doc.outlines.map(({ id, closed }) => [id, figures.traces[id] ?? [], closed]).filter(([, trace]) => trace.length > 1);
    const id = outlineUnder(sheet.camera(), traces, px, py, reach);
    if (id !== null) return holdOutline(id, pressed);
    return pullSheet(pressed, () => { if (!ways().isSeveral) bench.choose([]); });
  };
}
