// Field records as they are kept and sent. Ids and times are given, so that the same call makes the same record.

import { bunkerOf, outlineOf } from './job.js';
import { receiverInRecord } from './receiver_words.js';

export const RADIUS_BASIS = 'the receiver\'s accuracy figure taken as its 68 % radius';
export const NO_RADIUS_BASIS = 'the receiver gives no accuracy figure';

/** What every record of a job carries; `id` is new, `at` a time in milliseconds. */
function common({ bundle, person, device, practice }, { id, at }) {
  const [site, hole] = [bundle.site.id, bundle.hole.number];
  return { id, site, hole, made_at: new Date(at).toISOString(), person, device, practice: practice !== null };
}

/** The mark of the point aimed at, as it is now: `stamp` is {id, at}. */
export function markRecord(job, aim, stamp) {
  const [bunker, outline] = [bunkerOf(job), outlineOf(job)];
  const { number, x, y } = aim.point;
  return {
    ...common(job, stamp),
    kind: 'mark',
    receiver: receiverInRecord(job.practice),
    target: { bunker: bunker.id, outline: outline.id, part: outline.part, number, revision: bunker.revision, x, y },
    fix: job.fix && fixRecord({ fix: job.fix, radius95M: job.place.radius95M, ageS: aim.ageS }),
    off_m: aim.offM,
    verdict: aim.pointVerdict ?? 'cannot tell',
  };
}

function fixRecord({ fix, radius95M, ageS }) {
  return {
    lat_deg: fix.latDeg,
    lon_deg: fix.lonDeg,
    accuracy_m: fix.accuracyM,
    radius95_m: radius95M,
    radius95_basis: radius95M === null ? NO_RADIUS_BASIS : RADIUS_BASIS,
    age_s: Math.round(ageS * 10) / 10,
    height_m: fix.heightM,
  };
}

/** The record that takes an earlier mark of this phone back. */
export function undoRecord(job, undoes, stamp) {
  return { ...common(job, stamp), kind: 'undo', undoes };
}
