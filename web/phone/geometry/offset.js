// Along and off: where a place lies against a traced outline. Twin of fieldapp/outline/offset.py.

const TIE_M = 1e-9;

/**
 * Chainage along, signed distance off, and the nearest location [x, y], in course metres. `trace` is a list of [x, y];
 * a closed one gives its first vertex again as the last. Off is + outside and - inside a closed trace, + to the right
 * and - to the left of an open one. Chainages are stretched so that the whole trace measures `lengthM`.
 */
export function alongAndOff(trace, closed, lengthM, x, y) {
  const chords = trace.slice(1).map((end, index) => chordTo(trace[index], end, x, y));
  const least = Math.min(...chords.map((chord) => chord.distance));
  const index = chords.findIndex((chord) => chord.distance <= least + TIE_M);
  const near = chords[index];
  const lengths = chords.map((chord) => chord.length);
  const before = sum(lengths.slice(0, index));
  const negative = closed ? isInside(trace, x, y) : isLeft(chords, index);
  return {
    alongM: (before + near.share * near.length) * (lengthM / sum(lengths)),
    offM: negative ? -near.distance : near.distance,
    nearest: [x - near.away[0], y - near.away[1]],
  };
}

/** One chord seen from the place: its length, direction, the share of it to the foot, and the way from there. */
function chordTo(start, end, x, y) {
  const [dx, dy] = [end[0] - start[0], end[1] - start[1]];
  const [px, py] = [x - start[0], y - start[1]];
  const length = Math.sqrt(dx * dx + dy * dy);
  const unit = length > 0 ? [dx / length, dy / length] : [0, 0];
  const share = length > 0 ? Math.min(1, Math.max(0, (px * unit[0] + py * unit[1]) / length)) : 0;
  const away = [px - share * dx, py - share * dy];
  const distance = Math.sqrt(away[0] * away[0] + away[1] * away[1]);
  return { length, unit, share, away, distance };
}

/** Whether a ray toward +x meets the ring an odd number of times. */
export function isInside(trace, x, y) {
  let odd = false;
  for (let index = 1; index < trace.length; index += 1) {
    const y0 = trace[index - 1][1];
    const y1 = trace[index][1];
    if (y0 > y === y1 > y) continue;
    const x0 = trace[index - 1][0];
    if (x < x0 + ((y - y0) * (trace[index][0] - x0)) / (y1 - y0)) odd = !odd;
  }
  return odd;
}

/** Whether the place lies left of the nearest chord; at an inner vertex, left of the mean of both chords. */
function isLeft(chords, index) {
  const { unit, share, away } = chords[index];
  let [forwardX, forwardY] = unit;
  const neighbour = share >= 1 ? chords[index + 1] : share <= 0 ? chords[index - 1] : undefined;
  if (neighbour !== undefined) {
    forwardX += neighbour.unit[0];
    forwardY += neighbour.unit[1];
  }
  return away[0] * forwardY - away[1] * forwardX < 0;
}

function sum(numbers) {
  return numbers.reduce((total, number) => total + number, 0);
}
