// What a draft measures on its hole, in ground metres: by play, in itself, and against what is there.

import { lineNearness, nearness } from '../../phone/geometry/clearance.js';
import { at, locate } from '../../phone/geometry/line_of_play.js';
import { shotOver } from '../../phone/geometry/shot.js';
import { drawn, measuredBy } from './drawn.js';

const NOTHING = {
  middle: null, long_axis_m: null, short_axis_m: null, long_axis_bearing_deg: null, slant_deg: null, play_bearing_deg: null,
  along_m: null, offset_m: null, reach_m: null, carry_m: null, area_m2: null, perimeter_m: null,
};

/**
 * figuresOf(doc, teeId) for one board: all that is shown of a draft while it is drawn, seen from one of the board's tees. Lengths
 * are ground metres, places course metres, bearings course bearings. `slant_deg` turns the long axis clockwise from play at
 * the middle, 0 up to 180: 0 lies along play, 90 square across. What cannot be measured is null. What an outline that did
 * not change comes near to is not worked out again.
 */
export function createFigures(board) {
  const scale = board.ground_scale;
  const nearestThings = kept((outline) => board.keep_clear.map((thing) => nearness(drawn(outline).trace, isSolid(outline), thing, drawn(outline).run())));
  const nearestPegs = kept((outline) => board.pegs.map((peg) => lineNearness(drawn(outline).trace, [[peg.x, peg.y]], drawn(outline).run()).distanceM));

  return function figuresOf(doc, teeId) {
    const outlines = doc.outlines.filter(({ points }) => points.length > 0);
    return {
      ...NOTHING,
      ...ownFigures(doc, teeOf(board, teeId), scale),
      nearest_peg: nearestPeg(board.pegs, outlines.map(nearestPegs), scale),
      clearances: clearances(board.keep_clear, outlines.map(nearestThings), scale),
      crosses_itself: doc.outlines.some((outline) => drawn(outline).meets !== null),
      faults: faultsOf(doc),
      traces: Object.fromEntries(doc.outlines.map((outline) => [outline.id, drawn(outline).trace])),
    };
  };
}

/** The tee of a board by its id; throws RangeError where there is none. */
export function teeOf(board, teeId) {
  const tee = board.tees.find(({ id }) => id === teeId);
  if (tee === undefined) throw new RangeError(`There is no tee '${teeId}' on this hole; choose one of its tees.`);
  return tee;
}

function ownFigures(doc, tee, scale) {
  const outline = measuredBy(doc);
  const sand = outline && drawn(outline);
  if (!sand?.curve) return {};
  const [middle, measures] = [sand.centroid(), sand.measures()];
  const { alongM, offsetM } = locate(tee.line, ...middle);
  const playBearing = at(tee.line, alongM).bearingDeg;
  const shot = outline.closed ? shotOver(sand.curve, [tee.x, tee.y], middle, sand.steps) : null;
  return {
    middle,
    long_axis_m: measures.longAxisM * scale,
    short_axis_m: measures.shortAxisM * scale,
    long_axis_bearing_deg: measures.longAxisBearingDeg,
    slant_deg: (measures.longAxisBearingDeg - playBearing + 360) % 180,
    play_bearing_deg: playBearing,
    along_m: alongM * scale,
    offset_m: offsetM * scale,
    reach_m: shot && shot.reachM * scale,
    carry_m: shot && shot.carryM * scale,
    area_m2: measures.areaM2 === null ? null : measures.areaM2 * scale ** 2,
    perimeter_m: measures.perimeterM * scale,
  };
}

/** Whether what lies within an outline counts too. */
const isSolid = (outline) => outline.closed && outline.points.length > 2;

/** The peg nearest to any of the lines of a draft, inside or outside of them. */
function nearestPeg(pegs, distances, scale) {
  if (pegs.length === 0 || distances.length === 0) return null;
  const nearest = pegs.map(({ id }, k) => ({ id, distance_m: Math.min(...distances.map((some) => some[k])) * scale }));
  return nearest.reduce((best, next) => (next.distance_m < best.distance_m ? next : best));
}

/** How near a draft comes to each thing, the nearest first. */
function clearances(things, found, scale) {
  if (found.length === 0) return [];
  const all = things.map((thing, k) => {
    const nearest = found.map((some) => some[k]).reduce((best, next) => (next.distanceM < best.distanceM ? next : best));
    const distance = nearest.distanceM * scale;
    return {
      id: thing.id, name: thing.name, kind: thing.kind, is_service: thing.is_service, distance_m: distance, clearance_m: thing.clearance_m,
      is_too_near: distance < thing.clearance_m || distance === 0, bunker_at: nearest.bunkerAt, thing_at: nearest.thingAt,
    };
  });
  return all.sort((a, b) => a.distance_m - b.distance_m || (a.id < b.id ? -1 : 1));
}

function faultsOf(doc) {
  if (doc.outlines.length === 0) return ['Nothing is drawn yet; draw the sand edge.'];
  return [
    ...doc.outlines.filter((outline) => drawn(outline).fault).map((outline) => `Outline '${outline.id}': ${drawn(outline).fault}`),
    ...sandsWords(doc.outlines),
  ];
}

/** What is said of a draft of several sand edges, which is measured by the first alone; nothing of others. */
function sandsWords(outlines) {
  const sands = outlines.filter(({ part }) => part === 'sand edge');
  if (sands.length < 2) return [];
  const [count, others] = sands.length === 2
    ? ['two', 'the other a bunker of its own, or another part'] : [`${sands.length}`, 'the others bunkers of their own, or other parts'];
  return [`It has ${count} sand edges; reach, carry, area and middle are of the first, '${sands[0].id}', alone. Make ${others}.`];
}

function kept(work) {
  const known = new WeakMap();
  return (outline) => {
    if (!known.has(outline)) known.set(outline, work(outline));
    return known.get(outline);
  };
}
