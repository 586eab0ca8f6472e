// The control points of a drawn outline, checked before a curve is put through them. Twin of fieldapp/outline/control_points.py.

const SAME_PLACE_M = 0.001;
const MOST_ACROSS_M = 10000;

const away = (a, b) => Math.sqrt((b.x - a.x) ** 2 + (b.y - a.y) ** 2);
const isSamePlace = (a, b) => away(a, b) < SAME_PLACE_M;

/**
 * {points} of an outline as [{x, y, role}], without a last one that only repeats the first of a closed one, or {fault}: why no
 * curve can be put through them. `given` are [x, y] or [x, y, role], course metres.
 */
export function checkedPoints(given, closed) {
  const all = given.map((point) => ({ x: point[0], y: point[1], role: point[2] ?? 'plain' }));
  const fault = all.map((point, index) => wrongPlace(point, all[0], index + 1)).find((words) => words !== null);
  if (fault !== undefined) return { fault };
  const points = closed && all.length > 1 && isSamePlace(all[0], all.at(-1)) ? all.slice(0, -1) : all;
  const least = closed ? 3 : 2;
  if (points.length < least) {
    const kind = closed ? 'A closed' : 'An open';
    return { fault: `${kind} outline needs at least ${least} different points and this one has ${points.length}; add points.` };
  }
  const wrong = wrongNeighbours(points, closed);
  return wrong === null ? { points } : { fault: wrong };
}

function wrongPlace(point, first, number) {
  if (!Number.isFinite(point.x) || !Number.isFinite(point.y)) return `Point ${number} of the outline is not a number; give it an x and a y in figures.`;
  if (away(point, first) <= MOST_ACROSS_M) return null;
  return `Point ${number} of the outline (x ${point.x.toFixed(2)}, y ${point.y.toFixed(2)}) is more than ${MOST_ACROSS_M / 1000} km from its first point; `
    + 'check its figures and the unit of the coordinates.';
}

function wrongNeighbours(points, closed) {
  const last = closed ? points.length : points.length - 1;
  for (let index = 0; index < last; index += 1) {
    const following = ((index + 1) % points.length) + 1;
    const point = points[index];
    const after = points[following - 1];
    if (isSamePlace(point, after)) {
      return `Points ${index + 1} and ${following} of the outline are the same place (x ${point.x.toFixed(3)}, y ${point.y.toFixed(3)}); take one of them out.`;
    }
    if (point.role === 'through' && after.role === 'through') {
      return `Points ${index + 1} and ${following} of the outline are both 'through'; an arc takes one 'through' point between two others.`;
    }
  }
  if (closed || (points[0].role !== 'through' && points.at(-1).role !== 'through')) return null;
  return "An open outline begins or ends with a 'through' point; an arc needs a point on both sides.";
}
