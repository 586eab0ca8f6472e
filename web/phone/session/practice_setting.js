// What a practice receiver starts from: a place 25 m off the first point, a grade, and an error of its own.

import { bunkerOf, pointOf } from './job.js';
import { createPracticeError, GRADES } from './practice_error.js';

const START_BACK_M = 24;
const START_LEFT_M = 7;

/** {frame, start {x, y}, accuracyM, error} for the job's practice grade; the same `start` number gives the same errors. */
export function practiceSetting(job, startNumber) {
  const { accuracyM } = GRADES[job.practice.grade];
  const point = pointOf(job, job.number ?? 1);
  const start = practiceStart(point, bunkerOf(job).play_bearing_deg, job.bundle.frame.ground_scale);
  return { frame: job.frame, start, accuracyM, error: createPracticeError(accuracyM, startNumber) };
}

/** Where a practice walk begins: 25 m from a point, toward the tee and a little left. */
export function practiceStart(point, playBearingDeg, groundScale) {
  const sin = Math.sin((playBearingDeg * Math.PI) / 180);
  const cos = Math.cos((playBearingDeg * Math.PI) / 180);
  const [back, left] = [START_BACK_M / groundScale, START_LEFT_M / groundScale];
  return { x: point.x - back * sin - left * cos, y: point.y - back * cos + left * sin };
}
