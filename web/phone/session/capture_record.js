// The record of a captured line, and whether the draft in hand has become one.

import { methodOf } from './capture_draft.js';
import { standingCheckIn } from './checked_in.js';
import { processOf } from './gauge.js';
import { receiverInRecord } from './receiver_words.js';
import { tapeOf } from './tape.js';

/** The record of a draft; `common` is what every record carries, with the draft's own id, so that saving twice makes one record. */
export function captureRecord(job, common, draft) {
  const method = methodOf(draft);
  return {
    ...common,
    kind: 'capture', receiver: receiverInRecord(job.practice),
    bunker: job.bunkerId, outline: draft.outline, part: draft.part, revision: draft.revision,
    method, closed: draft.closed, curve: draft.curve, tape_error_m: tapeOf(job).errorM,
    pegs: Object.entries(draft.pegs).filter(([peg]) => isUsed(draft, peg)).map(([peg, { x, y, withinM }]) => ({ peg, x, y, within_m: withinM })),
    ...(method === 'walk' ? walkInRecord(job, draft) : { points: draft.points.map(pointInRecord), fixes: [], parts: [], spread: 1, ...NO_SHIFT }),
    note: '',
  };
}

const isUsed = ({ points }, peg) => points.some(({ pegs }) => pegs.includes(peg));

const pointInRecord = ({ by, pegs, distancesM, side, x, y, withinM }) => ({ by, pegs, distances_m: distancesM, side, x, y, within_m: withinM });

const NO_SHIFT = { check_in: null, shift_x_m: 0, shift_y_m: 0, shift_radius95_m: null };

/** The fixes of a walk as they came, with the check-in that stood at its end: its shift is not taken off them. */
function walkInRecord(job, { fixes, lastAt }) {
  const { parts, spread } = processOf(job);
  const checkIn = standingCheckIn(job, lastAt / 1000);
  const shift = checkIn === null ? NO_SHIFT : {
    check_in: checkIn.id, shift_x_m: checkIn.found.shiftX, shift_y_m: checkIn.found.shiftY, shift_radius95_m: checkIn.found.radius95M,
  };
  return {
    points: [], parts, spread, ...shift,
    fixes: fixes.map(({ tS, latDeg, lonDeg, sigmaM }) => ({ t_s: tS, lat_deg: latDeg, lon_deg: lonDeg, sigma_m: sigmaM })),
  };
}

/** What became of a draft: 'open' while it is no record, 'saved', or 'taken back'. */
export function draftState({ own }, draft) {
  const record = own.find(({ id }) => id === draft.id);
  if (record === undefined) return 'open';
  return own.some(({ kind, undoes }) => kind === 'undo' && undoes === draft.id) ? 'taken back' : 'saved';
}
