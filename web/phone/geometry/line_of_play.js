// The line of play: tee plate, turning points, centre of the green. Twin of fieldapp/play/line_of_play.py.

const TIE_M = 1e-9;

/**
 * Distance along and offset (right +) of a place, in course metres. `vertices` is a list of [x, y] in order of play.
 * The first leg runs on behind the tee, the last one beyond the green; the nearest leg counts, of equally near ones
 * the earlier; outside a bend the distance along is the turning point's.
 */
export function locate(vertices, x, y) {
  const legs = legsOf(vertices);
  const seen = legs.map((leg, index) => fromLeg(legs, leg, index, x, y));
  const least = Math.min(...seen.map((leg) => leg.distance));
  const { alongM, offsetM } = seen.find((leg) => leg.distance <= least + TIE_M);
  return { alongM, offsetM };
}

/** The place at a distance along, and the course bearing of play there; a turning point has that of the leg to it. */
export function at(vertices, alongM) {
  const legs = legsOf(vertices);
  const leg = legs.find(({ start, length }) => start + length >= alongM) ?? legs[legs.length - 1];
  const [unitX, unitY] = leg.unit;
  const bearingDeg = (Math.atan2(unitX, unitY) * 180) / Math.PI;
  return {
    x: leg.from[0] + (alongM - leg.start) * unitX,
    y: leg.from[1] + (alongM - leg.start) * unitY,
    bearingDeg: (bearingDeg + 360) % 360,
  };
}

function legsOf(vertices) {
  let start = 0;
  return vertices.slice(1).map((to, index) => {
    const from = vertices[index];
    const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
    const length = Math.sqrt(dx * dx + dy * dy);
    const leg = { from, start, length, unit: [dx / length, dy / length] };
    start += length;
    return leg;
  });
}

function fromLeg(legs, leg, index, x, y) {
  const [isFirst, isLast] = [index === 0, index === legs.length - 1];
  const [px, py] = [x - leg.from[0], y - leg.from[1]];
  const [unitX, unitY] = leg.unit;
  const wanted = px * unitX + py * unitY;
  const onLeg = Math.min(isLast ? Infinity : leg.length, Math.max(isFirst ? -Infinity : 0, wanted));
  const [awayX, awayY] = [px - onLeg * unitX, py - onLeg * unitY];
  const distance = Math.sqrt(awayX * awayX + awayY * awayY);
  const [forwardX, forwardY] = forwardAt(legs, index, onLeg);
  const isLeft = awayX * forwardY - awayY * forwardX < 0;
  return { alongM: leg.start + onLeg, offsetM: isLeft ? -distance : distance, distance };
}

/** The way of play at a foot on a leg: at a turning point the mean of both legs. */
function forwardAt(legs, index, onLeg) {
  const [unitX, unitY] = legs[index].unit;
  const neighbour = onLeg >= legs[index].length ? legs[index + 1] : onLeg <= 0 ? legs[index - 1] : undefined;
  return neighbour === undefined ? [unitX, unitY] : [unitX + neighbour.unit[0], unitY + neighbour.unit[1]];
}
