// The sketch beside taped distances: ground metres turned to the play and laid into a picture.

import { shortName } from './short_name.js';

const SIZE = { width: 360, height: 180 };
const EDGE = 30;
const RADIANS = Math.PI / 180;
const ARC_DEG = 14;

/** How ground metres lie in the picture: at({x, y}) gives [right, down]; `scale` is pixels a metre. All places fit in. */
function frameOf(places, upDeg) {
  const [sin, cos] = [Math.sin(upDeg * RADIANS), Math.cos(upDeg * RADIANS)];
  const [{ x: x0, y: y0 }] = places;
  const turn = ({ x, y }) => [(x - x0) * cos - (y - y0) * sin, -((x - x0) * sin + (y - y0) * cos)];
  const turned = places.map(turn);
  const [left, right] = [Math.min, Math.max].map((most) => most(...turned.map(([r]) => r)));
  const [top, low] = [Math.min, Math.max].map((most) => most(...turned.map(([, d]) => d)));
  const scale = Math.min((SIZE.width - 2 * EDGE) / Math.max(right - left, 1), (SIZE.height - 2 * EDGE) / Math.max(low - top, 1));
  const at = (place) => {
    const [r, d] = turn(place);
    return [SIZE.width / 2 + (r - (left + right) / 2) * scale, SIZE.height / 2 + (d - (top + low) / 2) * scale];
  };
  return { at, scale };
}

const spot = ([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`;

/**
 * The picture {size, traces, dots, pegs, strings, arcs, target} in pixels. Given, in ground metres: `upDeg` the course bearing
 * that points up, `outlines` [{places, isDone, isNear}], `dots` [{x, y, isDone}], `pegs` [{id, x, y, isUsed}], `strings`
 * [[place, place, kind]], `rings` [[centre, place]] drawn as arcs about the centre through the place, `target` {x, y, label}
 * or null. `fit` are the places that must be in the picture.
 */
export function sketchOf({ upDeg, outlines, dots, pegs, strings, rings, target, fit }) {
  const { at } = frameOf(fit, upDeg);
  const point = (place) => ({ ...place, x: at(place)[0], y: at(place)[1] });
  return {
    size: SIZE,
    traces: outlines.map(({ places, ...kind }) => ({ ...kind, d: `M${places.map((place) => spot(at(place))).join('L')}` })),
    dots: dots.map(point),
    pegs: pegs.map((peg) => ({ ...point(peg), name: shortName(peg.id) })),
    strings: strings.map(([one, other, kind]) => ({ kind, d: `M${spot(at(one))}L${spot(at(other))}` })),
    arcs: rings.map(([centre, place]) => arcOf(at(centre), at(place))),
    target: target && { ...point(target), label: shortName(target.label) },
  };
}

/** A short arc about a centre through a place, as a path. */
function arcOf([cx, cy], [x, y]) {
  const radius = Math.sqrt((x - cx) ** 2 + (y - cy) ** 2);
  const bearing = Math.atan2(y - cy, x - cx);
  const wide = Math.max(ARC_DEG * RADIANS, 16 / Math.max(radius, 1));
  const [start, end] = [-1, 1].map((sign) => [cx + radius * Math.cos(bearing + sign * wide), cy + radius * Math.sin(bearing + sign * wide)]);
  return `M${spot(start)}A${radius.toFixed(1)} ${radius.toFixed(1)} 0 0 1 ${spot(end)}`;
}

/** An outline of the bundle as places in ground metres, closed as it is. */
export const tracePlaces = (outline, scale) => outline.trace.map(([x, y]) => ({ x: x * scale, y: y * scale }));
