// The details of the receiver, one tap away: its own figure, what it is taken for, age, latitude and longitude.

import { qualityRow } from './fix_quality.js';
import { ageWords, positions } from './holding_words.js';
import { fineness, radiusWords } from './lengths.js';
import { troubleWords } from './wording.js';

/** Rows [name, words] about the fix in hand. */
export function receiverRows(job, aim, unit) {
  const rows = [['Receiver', receiverName(job.practice)]];
  if (job.fix === null) return rows.concat([['Position', troubleWords(job.trouble)]]);
  const { fix, place } = job;
  const given = fix.accuracyM > 0;
  return rows.concat([
    qualityRow(job.watch, unit),
    ['Its own accuracy figure', given ? radiusWords(fix.accuracyM, unit) : 'none given'],
    ['Taken as', takenAs(job, given)],
    readingRow(place),
    checkInRow(place),
    ['Holds 95 of 100', place.radius95M === null ? 'not known' : radiusWords(place.radius95M, unit)],
    ['Age', `${aim.ageS.toFixed(0)} s`],
    ['Latitude', degrees(fix.latDeg, place.radius95M)],
    ['Longitude', degrees(fix.lonDeg, place.radius95M)],
  ].filter((row) => row !== null));
}

function takenAs({ gauge }, given) {
  if (!given) return 'unknown: it cannot tell';
  return gauge.trial === null ? 'the radius that holds 68 of 100 positions' : `what the trial on peg ${gauge.trial.peg} makes of it`;
}

function readingRow({ reading }) {
  return reading?.fixes > 1 ? ['Reading', `${positions(reading.fixes)} over ${ageWords(reading.seconds)}`] : null;
}

function checkInRow({ checkIn }) {
  return checkIn ? ['Checked in', `on peg ${checkIn.peg}, ${ageWords(checkIn.ageS)} ago`] : null;
}

/** Degrees with the digits the radius has earned: the eighth is about a millimetre, the fifth a metre. */
function degrees(deg, radius95M) {
  return `${deg.toFixed({ centimetre: 8, decimetre: 6, metre: 5 }[fineness(radius95M)])}°`;
}

/** The receiver's name for a person. */
export function receiverName(practice) {
  if (practice === null) return 'this phone\'s own';
  return practice.grade === 'centimetre' ? 'practice, like a survey receiver' : 'practice, like a phone';
}

/** Which kind of receiver is in use: 'phone', 'practice phone' or 'practice centimetre'. */
export const receiverKind = (practice) => (practice === null ? 'phone' : `practice ${practice.grade}`);

/** The receiver's name in a record. */
export function receiverInRecord(practice) {
  return practice === null ? 'phone' : `practice ${practice.grade}-grade`;
}

/** What the magnetic declination is, for somebody with a hand compass. */
export function declinationWords(declination) {
  if (declination === null) return 'Magnetic declination is not known for today: bearings here are from true north.';
  const side = declination.deg >= 0 ? 'east' : 'west';
  const uncertain = declination.uncertainty_deg === null ? '' : ` ± ${declination.uncertainty_deg.toFixed(1)}°`;
  return `Bearings are from true north. A hand compass points ${Math.abs(declination.deg).toFixed(1)}°${uncertain} ${side} of it here (${declination.model}, ${declination.at}).`;
}

/** The receiver asked for in the page's address: 'phone', 'practice phone' or 'practice centimetre'. */
export function receiverAsked(asked) {
  if (asked.get('receiver') !== 'practice') return 'phone';
  return asked.get('grade') === 'centimetre' ? 'practice centimetre' : 'practice phone';
}
