// The sketch of a line being captured: the drawn one, the one measured, its points, the pegs and the string.

import { lineThrough } from '../geometry/smooth_line.js';
import { isWalk } from './capture_draft.js';
import { scaleBar } from './framing.js';
import { bunkerOf } from './job.js';
import { isInPlace } from './standing_pegs.js';

const MARGIN_PX = 30;
const LEAST_SPAN_M = 6;
const BAR_PX = 70;

/**
 * {frame, designed, drawn, points, pegs, string, ring, worker, bar} for a sketch of `size` {width, height} pixels; places
 * are {x, y} in course metres, `frame` as for the grass. `trial` is the point as it is typed, or null; `isLooking` leaves out
 * the worker and keeps no room for the pegs.
 */
export function capturePicture(job, draft, { pegs, trial = null, chosen = null, isLooking = false, size }) {
  const outline = bunkerOf(job).outlines.find(({ id }) => id === draft.outline);
  const designed = (outline?.trace ?? []).map(([x, y]) => ({ x, y }));
  const places = isWalk(draft) ? draft.fixes : draft.points;
  const named = pegs.filter((peg) => isInPlace(peg) && !isWalk(draft)).map((peg) => pegOf(peg, draft));
  const worker = isLooking ? null : here(job, draft);
  const used = isLooking ? [] : named.filter(({ isUsed }) => isUsed);
  const frame = frameAbout([...designed, ...places, ...used, trial, worker].filter(Boolean), bunkerOf(job).play_bearing_deg, size);
  return {
    frame, designed, worker,
    drawn: drawnLine(draft, places),
    points: isWalk(draft) ? [] : places.map(({ x, y }, i) => ({ x, y, number: i + 1, isChosen: i + 1 === chosen })),
    pegs: named,
    string: draft.entry.by === 'line' && !isLooking ? draft.entry.pegs.map((id) => named.find((peg) => peg.id === id)).filter(Boolean) : [],
    ring: trial,
    bar: scaleBar(frame.scale, job.bundle.site.units.ground, BAR_PX),
    origin: { x: bunkerOf(job).middle[0], y: bunkerOf(job).middle[1], playBearingDeg: bunkerOf(job).play_bearing_deg },
  };
}

/** A walk is drawn as it was walked, an unfinished line without its last stretch. */
function drawnLine(draft, places) {
  if (isWalk(draft)) return places;
  return lineThrough(places, draft.curve, draft.closed && places.length >= 3);
}

const pegOf = ({ id, x, y }, { entry }) => ({ id, x, y, isUsed: entry.by !== 'reading' && entry.pegs.includes(id) });

/** Where the worker is, where that matters: in a walk, or where a point is taken by position. */
function here({ place }, { entry }) {
  const matters = entry.by === 'walk' || entry.by === 'reading';
  return matters && place !== null && place.awayM === null ? { x: place.x, y: place.y, radiusM: place.radius95M } : null;
}

/** The frame that holds all places with a margin, its bearing up: {x, y, upDeg, scale}. */
function frameAbout(places, upDeg, { width, height }) {
  const [sin, cos] = [Math.sin((upDeg * Math.PI) / 180), Math.cos((upDeg * Math.PI) / 180)];
  const rights = places.map(({ x, y }) => x * cos - y * sin);
  const ups = places.map(({ x, y }) => x * sin + y * cos);
  const [right, wide] = middleAndSpan(rights);
  const [up, high] = middleAndSpan(ups);
  const scale = Math.min((width - 2 * MARGIN_PX) / wide, (height - 2 * MARGIN_PX) / high);
  return { x: right * cos + up * sin, y: up * cos - right * sin, upDeg, scale };
}

function middleAndSpan(values) {
  const [low, high] = [Math.min(...values), Math.max(...values)];
  return [(low + high) / 2, Math.max(LEAST_SPAN_M, high - low)];
}
