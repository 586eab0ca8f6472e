// Yardage: how far a place is from a tee plate, straight and along the line of play. Twin of fieldapp/play/yardage.py.

import { locate } from './line_of_play.js';
import { R95_IN_SIGMA } from './verdict.js';

/** Two-sided 95 % of one normal variable, in sigma. */
export const Z95_IN_SIGMA = 1.959963984540054;

/** Ground metres from the first of `vertices` to a place in course metres: straight, along, and off (right +). */
export function yardage(vertices, x, y, groundScale) {
  const [dx, dy] = [x - vertices[0][0], y - vertices[0][1]];
  const { alongM, offsetM } = locate(vertices, x, y);
  return {
    straightM: Math.sqrt(dx * dx + dy * dy) * groundScale,
    alongM: alongM * groundScale,
    offsetM: offsetM * groundScale,
  };
}

/** Half-width of the 95 % range of a distance from a plate, from the 95 % radii of the position, the plate and the grid's fit. */
export function straightRange95M(radius95M, tee95M = 0, grid95M = 0) {
  return (Z95_IN_SIGMA * Math.sqrt(radius95M ** 2 + tee95M ** 2 + grid95M ** 2)) / R95_IN_SIGMA;
}
