// Which point comes next: along the outline, or the nearest one.

/** The first unpainted number after `number` along the outline, round to its start; null when all are painted. */
export function nextNumber(outline, painted, number) {
  const numbers = outline.points.map(([n]) => n);
  const start = numbers.indexOf(number) + 1;
  const order = numbers.slice(start).concat(numbers.slice(0, start));
  return order.find((n) => !painted.has(n)) ?? null;
}

/** The unpainted point nearest to a place, or null when all are painted. */
export function nearestUnpainted(outline, painted, place) {
  const open = outline.points.filter(([n]) => !painted.has(n));
  return open.length === 0 ? null : nearestPoint(open, place.x, place.y)[0];
}

/** The point of a list [[number, x, y, chainage], ...] nearest to x, y. */
export function nearestPoint(points, x, y) {
  const square = ([, px, py]) => (px - x) ** 2 + (py - y) ** 2;
  return points.reduce((best, point) => (square(point) < square(best) ? point : best));
}

/** The point nearest to a chainage on an outline, round its end where it is closed. */
export function pointAtChainage(outline, alongM) {
  const gap = ([, , , chainageM]) => {
    const apart = Math.abs(chainageM - alongM);
    return outline.closed ? Math.min(apart, outline.length_m - apart) : apart;
  };
  return outline.points.reduce((best, point) => (gap(point) < gap(best) ? point : best));
}

/** The point of a bunker nearest to x, y within `reachM`, points of the chosen outline first: {outlineId, number} or null. */
export function pointNear(bunker, chosenOutlineId, x, y, reachM) {
  const found = bunker.outlines.map((outline) => {
    const [number, px, py] = nearestPoint(outline.points, x, y);
    return { outlineId: outline.id, number, apartM: Math.sqrt((px - x) ** 2 + (py - y) ** 2) };
  }).filter(({ apartM }) => apartM <= reachM);
  found.sort((a, b) => (b.outlineId === chosenOutlineId) - (a.outlineId === chosenOutlineId) || a.apartM - b.apartM);
  return found[0] ?? null;
}

/** The next outline of the bunker with something left to paint, after the given one; null when there is none. */
export function nextOutline(bunker, outlineId, paintedOf) {
  const start = bunker.outlines.findIndex((o) => o.id === outlineId) + 1;
  const order = bunker.outlines.slice(start).concat(bunker.outlines.slice(0, start));
  return order.find((o) => o.id !== outlineId && paintedOf(o).size < o.points.length) ?? null;
}
