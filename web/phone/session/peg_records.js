// The records of a check-in and of a trial of the receiver, and the reading that a mark carries.

import { basisWords } from './placing.js';
import { receiverInRecord } from './receiver_words.js';

const rounded = (value, decimals) => (value === null ? null : Number(value.toFixed(decimals)));

/** A reading at a place on the course, as records hold it. `place` is {x, y, radius95M, reading, checkIn}. */
export function readingRecord(job, place) {
  const [latDeg, lonDeg] = job.frame.toGnss(place.x, place.y);
  const { seconds, fixes, leftOut } = place.reading;
  return {
    lat_deg: latDeg, lon_deg: lonDeg,
    radius95_m: place.radius95M,
    radius95_basis: basisWords(job, place),
    seconds: rounded(seconds, 1), fixes, left_out: leftOut,
    check_in: place.checkIn?.id ?? null,
    check_in_age_s: place.checkIn === null ? null : rounded(place.checkIn.ageS, 1),
  };
}

/** Whether a mark needs a reading beside its fix: fixes were combined, or a check-in was applied. */
export const hasReading = (place) => place?.reading !== undefined && (place.reading.fixes > 1 || place.checkIn !== null);

/** The record of a check-in: `common` is what every record carries. */
export function checkInRecord(job, common, { reading, checkIn }) {
  const place = { x: reading.x, y: reading.y, radius95M: reading.radius95M, reading, checkIn: null };
  return {
    ...onPeg(job, common, 'check_in'),
    reading: readingRecord(job, place),
    shift_x_m: checkIn.shiftX, shift_y_m: checkIn.shiftY,
  };
}

/** The record of a trial. */
export function trialRecord(job, common, { reading, trial }) {
  return {
    ...onPeg(job, common, 'trial'),
    seconds: rounded(reading.seconds, 1), fixes: trial.fixes, accuracy_m: trial.accuracyM,
    scatter_m: trial.scatterM, parts: trial.parts, spread: trial.spread,
    offset_x_m: trial.offsetX, offset_y_m: trial.offsetY, offset_radius95_m: trial.offsetRadius95M,
  };
}

function onPeg(job, common, kind) {
  const { peg } = job.onPeg;
  return { ...common, kind, receiver: receiverInRecord(job.practice), peg: peg.id, peg_x: peg.x, peg_y: peg.y };
}
