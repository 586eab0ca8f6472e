// Whether a check is in the record already: same edge from the same tee, and nothing new is known of it.

import { lastOwnCheck } from './check_records.js';
import { bunkerOf } from './job.js';

/** A step that counts as another place, whatever the receiver; the one that counts where none gives a figure. */
const STEP_M = 0.5;
const STEP_UNKNOWN_M = 5;
/** Holding still so much longer makes a new check of it. */
const MORE_S = 10;

/**
 * Whether this phone's newest standing check says what one of `figure` would say now: not moved since, nor stood 10 s
 * more, nor checked in on a peg.
 */
export function isAgain(job, figure) {
  const last = lastOwnCheck(job);
  if (last === null || !isSameTarget(job, figure, last.target) || last.reading.check_in !== (job.place.checkIn?.id ?? null)) return false;
  return movedM(job, last) <= stepM(job, last) && stoodMoreS(job, last) < MORE_S;
}

function isSameTarget(job, figure, target) {
  const { id, revision } = bunkerOf(job);
  return target.figure === figure && target.tee === job.teeId && target.bunker === id && target.revision === revision;
}

function movedM({ frame, place, bundle }, { reading }) {
  const [x, y] = frame.toCourse(reading.lat_deg, reading.lon_deg);
  return Math.sqrt((place.x - x) ** 2 + (place.y - y) ** 2) * bundle.frame.ground_scale;
}

/** How far apart two readings of one place may well lie. */
const stepM = ({ place }, { reading }) => Math.max(STEP_M, place.radius95M ?? STEP_UNKNOWN_M, reading.radius95_m ?? STEP_UNKNOWN_M);

/** Seconds stood beyond what that check had of the same standing. */
function stoodMoreS({ place: { reading } }, last) {
  const isSameStanding = reading.timesS[0] * 1000 <= Date.parse(last.made_at);
  return reading.seconds - (isSameStanding ? last.reading.seconds : 0);
}
