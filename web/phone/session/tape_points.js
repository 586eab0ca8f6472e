// The paint points of an outline as the screens of the tape use them: in ground metres, to choose from, and on the sketch.

import { bunkerOf, paintedOf } from './job.js';
import { tracePlaces } from './tape_sketch.js';

/** The paint points of an outline: [{number, x, y, levelM or null}], ground metres. */
export function tiePoints({ points, levels_m: levels }, scale) {
  return points.map(([number, x, y], i) => ({ number, x: x * scale, y: y * scale, levelM: levels?.[i] ?? null }));
}

/** The outlines and points to choose from, and how many are painted. */
export function pointChoices(job, points) {
  const painted = paintedOf(job, job.bunkerId, job.outlineId);
  return {
    outlines: bunkerOf(job).outlines.map(({ id, part }) => [id, part]),
    outlineId: job.outlineId,
    progress: `${painted.size} of ${points.length} painted`,
    numbers: points.map(({ number }) => ({ number, isPainted: painted.has(number) })),
  };
}

/** The bunker's outlines and painted points for a sketch, as the play runs. */
export function groundOf(job, points) {
  const scale = job.bundle.frame.ground_scale;
  const bunker = bunkerOf(job);
  const painted = paintedOf(job, job.bunkerId, job.outlineId);
  return {
    upDeg: bunker.play_bearing_deg,
    outlines: bunker.outlines.map((outline) => ({ places: tracePlaces(outline, scale), isNear: outline.id === job.outlineId })),
    dots: points.filter(({ number }) => painted.has(number)),
  };
}
