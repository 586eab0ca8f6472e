// A peg in words: its state, who told of it, how far to search for it.

import { clockWords } from './clock_words.js';
import { wayTo } from './guidance.js';
import { bunkerOf } from './job.js';
import { agoWords } from './plan_words.js';

const STALE_MS = 5000;
const TODAY_MS = 12 * 3600e3;

export const STATE_WORDS = { planned: 'Planned, not driven', new: 'New', found: 'Found', moved: 'Moved', missing: 'Missing', reset: 'Set again' };
const NOT_REPORTED = 'Not reported yet';

const SEEN_WORDS = { moved: 'Seen, but it has moved: set it again', planned: 'Seen, but not reported as driven' };

/** The state in words: 'Found'. One that was seen since is still moved, or planned. */
export const stateWords = ({ state, report }) => (report?.state === 'found' && SEEN_WORDS[state]) || (STATE_WORDS[state] ?? NOT_REPORTED);

/** Who told of it and when: '18:42, Ewan', or of another day '2 days ago, Ewan'; empty where nobody did. */
export function toldWords({ report }, nowMs) {
  if (report === null) return '';
  const at = Date.parse(report.made_at);
  const when = Math.abs(nowMs - at) < TODAY_MS ? clockWords(report.made_at) : agoWords(at, nowMs);
  return [when, report.person].filter(Boolean).join(', ');
}

/** What is said of where it is: in the newest report, else in the plan. */
export const noteOf = ({ note, report }) => report?.note || note || '';

/** Seconds since the last fix where those are too many to follow, else null. */
export function oldS(job, nowMs) {
  if (job.fix === null || nowMs - job.fix.at <= STALE_MS) return null;
  return Math.round((nowMs - job.fix.at) / 1000);
}

/**
 * The way to a peg from here: {way, distanceM, searchM}, null without a position on the course. `searchM` is the 95 % radius
 * to search round the spot it leads to: how well this phone is placed and how well the peg is, together; null where either
 * is not known.
 */
export function wayToPeg(job, peg) {
  const { place, bundle } = job;
  if (place === null || place.awayM !== null) return null;
  const way = wayTo(job.frame, bundle.frame.ground_scale, bunkerOf(job).play_bearing_deg, place, peg);
  return { way, distanceM: way.distanceM, searchM: searchM(place.radius95M, placedWithinM(peg)) };
}

/** How well a peg's place is known: one of the plan, or only planned, is where the plan says, one of a crew as it was told, null where it was not. */
const placedWithinM = ({ isOwn, withinM, state }) => (isOwn || state === 'planned' ? withinM ?? 0 : withinM);

function searchM(ofPhone, ofPeg) {
  return ofPhone === null || ofPeg === null ? null : Math.sqrt(ofPhone ** 2 + ofPeg ** 2);
}
