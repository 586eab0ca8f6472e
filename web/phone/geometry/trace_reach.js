// Reach and carry over a traced outline on a straight line from a tee. Twin of fieldapp/play/trace_reach.py.

const SLOPE_STEP_M = 0.1;

/**
 * {reachM, carryM} in course metres over a closed trace of [x, y] on the line from a tee [x, y] through a place [x, y]: the
 * first sand, and where the last sand ends; null when the line misses it. A tee inside the sand has a reach of 0.
 */
export function reachOverTrace(trace, tee, through) {
  const [aimX, aimY] = [through[0] - tee[0], through[1] - tee[1]];
  const length = Math.sqrt(aimX * aimX + aimY * aimY);
  if (length === 0) return null;
  const { ahead, behind } = crossings(seenFrom(trace, tee, [aimX / length, aimY / length]));
  if (ahead.length === 0) return null;
  return { reachM: behind % 2 === 1 ? 0 : Math.min(...ahead), carryM: Math.max(...ahead) };
}

/**
 * {reach, carry}: how many metres nearer or farther each lies per metre that a place is aside, the steeper side of it; null
 * when the line itself misses the outline.
 */
export function edgeSlopes(trace, tee, through) {
  const own = reachOverTrace(trace, tee, through);
  if (own === null) return null;
  const [aimX, aimY] = [through[0] - tee[0], through[1] - tee[1]];
  const length = Math.sqrt(aimX * aimX + aimY * aimY);
  const aside = (side) => [through[0] + (side * SLOPE_STEP_M * aimY) / length, through[1] - (side * SLOPE_STEP_M * aimX) / length];
  const beside = [-1, 1].map((side) => reachOverTrace(trace, tee, aside(side))).filter((found) => found !== null);
  const steepest = (name) => Math.max(0, ...beside.map((found) => Math.abs(found[name] - own[name]) / SLOPE_STEP_M));
  return { reach: steepest('reachM'), carry: steepest('carryM') };
}

/** How far the vertices lie along a line and to its right, the first again at the end. */
function seenFrom(trace, tee, [unitX, unitY]) {
  return [...trace, trace[0]].map(([x, y]) => {
    const [dx, dy] = [x - tee[0], y - tee[1]];
    return { along: dx * unitX + dy * unitY, side: dx * unitY - dy * unitX };
  });
}

/** The distances ahead at which the outline crosses the line or touches it, and how often it crosses behind. */
function crossings(seen) {
  const ahead = seen.filter(({ along, side }) => side === 0 && along >= 0).map(({ along }) => along);
  let behind = 0;
  for (let i = 0; i + 1 < seen.length; i += 1) {
    const [start, end] = [seen[i], seen[i + 1]];
    if ((start.side >= 0) === (end.side >= 0)) continue;
    const met = start.along + (start.side / (start.side - end.side)) * (end.along - start.along);
    if (met >= 0) ahead.push(met);
    else behind += 1;
  }
  return { ahead, behind };
}
