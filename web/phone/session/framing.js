// Which piece of ground to show: as near as possible with worker and target both in it, without flickering between two sizes.

export const SPANS_M = [1, 1.4, 2, 2.8, 4, 5.6, 8, 11, 16, 22, 32, 45, 64, 90, 130, 200, 400, 800, 1600, 3200, 6400];
const EDGE_PX = 56;
const HALF_BOOTS_PX = 26;
const ROOM_TO_COME_NEARER = 0.8;
const RADIUS_SHOWN = 2.3;
const RADIANS = Math.PI / 180;

/**
 * The frame {spanM, scale (pixels a metre), x, y, upDeg} for worker and target in a picture of `size` {width, height,
 * corner: {width, height} at the top left that a sign takes, or none}. Without a worker `target` is a piece of ground of
 * which `spots` are to be seen, too.
 * `before` is the frame shown last: a nearer one is taken only when it fits with room to spare.
 */
export function frameGround(before, worker, target, upDeg, size) {
  const places = worker === null ? [target] : [worker, target];
  const [x, y] = [0, 1].map((i) => places.reduce((sum, p) => sum + (i ? p.y : p.x), 0) / places.length);
  const reach = worker === null ? target.reachM ?? 10 : 0;
  const radius = worker === null ? 0 : worker.radius95M ?? 0;
  const seen = places.concat(target.spots ?? []);
  const fits = (spanM, room) => isInside({ spanM, places: seen, x, y, upDeg, size, room, reach, radius });
  const smallest = SPANS_M.find((spanM) => fits(spanM, 1)) ?? SPANS_M.at(-1);
  const spanM = before === null || smallest >= before.spanM
    ? smallest
    : SPANS_M.find((span) => span >= before.spanM || fits(span, ROOM_TO_COME_NEARER));
  return { spanM, scale: scaleOf(spanM, size), x, y, upDeg };
}

function scaleOf(spanM, size) {
  return Math.min(size.width, size.height) / spanM;
}

function isInside({ spanM, places, x, y, upDeg, size, room, reach, radius }) {
  const scale = scaleOf(spanM, size);
  const edge = Math.max(HALF_BOOTS_PX, Math.min(EDGE_PX, size.height / 4));
  const sin = Math.sin(upDeg * RADIANS);
  const cos = Math.cos(upDeg * RADIANS);
  if (Math.max(2 * reach, RADIUS_SHOWN * radius) > spanM * room) return false;
  return places.every((p) => {
    const right = ((p.x - x) * cos - (p.y - y) * sin) * scale;
    const up = ((p.x - x) * sin + (p.y - y) * cos) * scale;
    const isWithin = Math.abs(right) <= (size.width / 2 - edge) * room && Math.abs(up) <= (size.height / 2 - edge) * room;
    return isWithin && !isUnderSign(right, up, size);
  });
}

/** Whether boots or ring would touch the sign in the top left corner. */
function isUnderSign(right, up, { width, height, corner = { width: 0, height: 0 } }) {
  if (corner.width === 0) return false;
  return right - HALF_BOOTS_PX < corner.width - width / 2 && up + HALF_BOOTS_PX > height / 2 - corner.height;
}

/** A scale bar about `idealPx` long of a round length in the ground unit: {px, words}. */
export function scaleBar(scale, unit, idealPx = 84) {
  const steps = unit === 'foot' ? FOOT_STEPS : METRE_STEPS;
  const best = steps.filter(([lengthM]) => lengthM * scale <= idealPx).at(-1) ?? steps[0];
  return { px: best[0] * scale, words: best[1] };
}

const METRE_STEPS = [0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000]
  .map((m) => [m, m < 1 ? `${Math.round(m * 100)} cm` : `${m} m`]);
const FOOT_STEPS = [[2, 'in'], [4, 'in'], [6, 'in']].map(([n, u]) => [n * 0.0254, `${n} ${u}`])
  .concat([1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000].map((n) => [n * 0.3048, `${n} ft`]));
