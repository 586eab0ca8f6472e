// Field records as they are kept and sent. Ids and times are given, so that the same call makes the same record.

import { bunkerOf, outlineOf } from './job.js';
import { captureRecord } from './capture_record.js';
import { checkRecord } from './check_records.js';
import { morningRecord, tapedRecord } from './morning_records.js';
import { checkInRecord, hasReading, readingRecord, trialRecord } from './peg_records.js';
import { pegReport } from './peg_report.js';
import { basisWords } from './placing.js';
import { receiverInRecord } from './receiver_words.js';

/** What every record of a job carries; `id` is new, `at` a time in milliseconds. */
export function common({ bundle, person, device, practice }, { id, at }) {
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
    fix: job.fix && fixRecord(job, job.place, aim.ageS),
    ...(hasReading(job.place) ? { reading: readingRecord(job, job.place) } : {}),
    off_m: aim.offM,
    verdict: aim.pointVerdict ?? 'cannot tell',
  };
}

/** The last fix exactly as the receiver gave it, with its own radius, whatever was made of it. */
function fixRecord(job, place, ageS) {
  const { fix } = job;
  const radius95M = place.fixRadius95M ?? (place.awayM === null ? null : place.radius95M);
  return {
    lat_deg: fix.latDeg,
    lon_deg: fix.lonDeg,
    accuracy_m: fix.accuracyM,
    radius95_m: radius95M,
    radius95_basis: basisWords(job, { radius95M }),
    age_s: Math.round(ageS * 10) / 10,
    height_m: fix.heightM,
  };
}

/** The record of what standing on a peg found; `found` is what `foundOnPeg` gave. */
export function onPegRecord(job, found, stamp) {
  const record = job.onPeg.purpose === 'trial' ? trialRecord : checkInRecord;
  return record(job, common(job, stamp), found);
}

/** The record of a yardage check as `checkHere` gave it, with what the page said would settle it. */
export const yardageRecord = (job, check, settle, stamp) => checkRecord(job, common(job, stamp), check, settle);

/** The record of what was found of a peg; see `pegReport` for what a report holds. */
export const pegRecord = (job, report, stamp) => pegReport(job, common(job, stamp), report);

/** The record of a captured line; it carries the draft's own id, `at` is now, ms. */
export const capturedRecord = (job, draft, at) => captureRecord(job, common(job, { id: draft.id, at }), draft);

/** The records of a morning check: the distances taped, and the check itself. */
export const tapedInMorning = (job, { pegs, said, words }, stamp) => tapedRecord(job, common(job, stamp), pegs, said, words);
export const savedMorning = (job, check, stamp) => morningRecord(job, common(job, stamp), check);

/** The record that takes an earlier mark, check-in, trial, yardage check or peg report of this phone back, under the hole and the phone's id that it carries. */
export function undoRecord(job, { id, device, hole = job.bundle.hole.number }, stamp) {
  return { ...common(job, stamp), hole, device, kind: 'undo', undoes: id };
}
