// The record of what was found of a peg, and which of a phone's own reports would be taken back.

import { readingRecord } from './peg_records.js';
import { receiverInRecord } from './receiver_words.js';
import { ownReports, standingPegs } from './standing_pegs.js';

/**
 * The record of a report; `common` is what every record carries. `report` is {peg, kind, state, place, note, photos, ties}:
 * the peg's id and kind, 'found' and the like, ids of photos, ties [{peg, distanceM}] (level, ground metres), and for a peg
 * planned, driven or set again its place {x, y, withinM, by: 'plan' | 'reading' | 'ties'} (course metres, 95 % radius or
 * null). Without a note the last one goes on: only the newest report is told to others.
 */
export function pegReport(job, common, { peg, kind, state, place = null, note = lastNote(job, peg), photos = [], ties = [] }) {
  const isRead = place?.by === 'reading' && job.place?.reading !== undefined;
  return {
    ...common,
    kind: 'peg',
    receiver: receiverInRecord(job.practice),
    bunker: job.bunkerId,
    peg, peg_kind: kind, state,
    x: place?.x ?? null, y: place?.y ?? null, within_m: place?.withinM ?? null, placed_by: place?.by ?? '',
    note, photos,
    ties: ties.map((tie) => ({ peg: tie.peg, distance_m: tie.distanceM })),
    reading: isRead ? readingRecord(job, job.place) : null,
  };
}

/** This phone's newest standing report, of one peg or of any; null without one. */
export function lastOwnReport(job, pegId = null) {
  return ownReports(job).filter((r) => pegId === null || r.peg === pegId).at(-1) ?? null;
}

const lastNote = (job, pegId) => standingPegs(job).find(({ id }) => id === pegId)?.report?.note ?? '';
