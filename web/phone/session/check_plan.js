// What a yardage check is held against: the figure planned from the chosen tee or, where none is, the one that is drawn.

import { locate } from '../geometry/line_of_play.js';
import { edgeSlopes, reachOverTrace } from '../geometry/trace_reach.js';
import { bunkerOf, teeOf } from './job.js';

const YARD_M = 0.9144;

/** What can be stood on and measured, [value, words]; the middle has a figure along the line of play and one off it. */
export const EDGES = [['reach', 'Front edge'], ['carry', 'Far edge'], ['middle', 'Middle']];
export const SIDES = [['along', 'Along the play'], ['offset', 'To the side']];

const plateOf = ({ line }) => line[0];
const sandOf = ({ outlines }) => outlines.find(({ part }) => part === 'sand edge') ?? outlines[0];

/** The figures as drawn on the line from the tee through a place [x, y]: {reachM, carryM} ground metres; null where it misses. */
export function drawnThrough(job, place) {
  const sand = sandOf(bunkerOf(job));
  const found = sand.closed ? reachOverTrace(sand.trace, plateOf(teeOf(job)), place) : null;
  const scale = job.bundle.frame.ground_scale;
  return found && { reachM: found.reachM * scale, carryM: found.carryM * scale };
}

/** How many metres farther or nearer an edge is drawn per metre across the line through a place [x, y]; 0 where none is. */
export function slopeThrough(job, figure, place) {
  const sand = sandOf(bunkerOf(job));
  return (sand.closed ? edgeSlopes(sand.trace, plateOf(teeOf(job)), place)?.[figure] : null) ?? 0;
}

/** The figure drawn from the chosen tee, ground metres; null where the outline is open or the line misses it. */
export function drawnM(job, figure) {
  const { middle } = bunkerOf(job);
  if (figure === 'reach' || figure === 'carry') return drawnThrough(job, middle)?.[`${figure}M`] ?? null;
  const { alongM, offsetM } = locate(teeOf(job).line, ...middle);
  return (figure === 'along' ? alongM : offsetM) * job.bundle.frame.ground_scale;
}

/** {plannedM, basis 'planned' | 'drawn', toleranceM} for a figure; null where there is nothing to compare with. */
export function checkPlan(job, figure) {
  const { plan } = bunkerOf(job);
  const toleranceM = plan?.tolerance_m ?? YARD_M;
  const planned = plan?.tee === job.teeId ? plan[`${figure}_m`] ?? null : null;
  if (planned !== null) return { plannedM: planned, basis: 'planned', toleranceM };
  const drawn = drawnM(job, figure);
  return drawn === null ? null : { plannedM: drawn, basis: 'drawn', toleranceM };
}

/** Where a figure is drawn, {x, y} on the course: on the straight line to the middle, or the middle itself. */
export function drawnPlace(job, figure) {
  const [x, y] = bunkerOf(job).middle;
  const [plateX, plateY] = plateOf(teeOf(job));
  const [dx, dy] = [x - plateX, y - plateY];
  const alongM = figure === 'reach' || figure === 'carry' ? drawnM(job, figure) : null;
  if (alongM === null) return { x, y };
  const part = alongM / job.bundle.frame.ground_scale / Math.sqrt(dx * dx + dy * dy);
  return { x: plateX + part * dx, y: plateY + part * dy };
}

/** How far right of the straight line from the tee to the middle a place {x, y} lies, ground metres. */
export function offLineM(job, { x, y }) {
  const [plateX, plateY] = plateOf(teeOf(job));
  const [middleX, middleY] = bunkerOf(job).middle;
  const [aimX, aimY] = [middleX - plateX, middleY - plateY];
  const cross = (x - plateX) * aimY - (y - plateY) * aimX;
  return (cross / Math.sqrt(aimX * aimX + aimY * aimY)) * job.bundle.frame.ground_scale;
}
