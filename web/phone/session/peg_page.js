// The page of one peg: how far and which way, how far to search, and what can be reported.

import { clockWords } from './clock_words.js';
import { facingDeg } from './heading.js';
import { bunkerOf } from './job.js';
import { groundParts, radiusWords } from './lengths.js';
import { lastOwnReport } from './peg_report.js';
import { noteOf, oldS, STATE_WORDS, stateWords, toldWords, wayToPeg } from './peg_words.js';
import { shortName } from './short_name.js';
import { isVague, troubleWords, wayLines, withinParts } from './wording.js';

const FAR_OFF_RADII = 2;
const NO_FIGURE = [['–', '']];

/** The page of a peg; `nowMs` is now. */
export function pegPage(job, peg, nowMs) {
  const found = wayToPeg(job, peg);
  return {
    kind: `${peg.kind} peg`, state: peg.state ?? 'none', words: stateWords(peg), told: toldWords(peg, nowMs), note: noteOf(peg),
    ...(found === null ? noWay(job) : wayOf(job, peg, found, nowMs)),
    isPlanned: peg.state === 'planned',
    isLost: peg.state === 'moved' || peg.state === 'missing',
    undo: undoWords(job, peg.id),
  };
}

const noWay = (job) => ({
  parts: NO_FIGURE, picture: null,
  way: [job.place === null ? troubleWords(job.trouble) : `You are ${(job.place.awayM / 1000).toFixed(0)} km away, too far to show the way.`],
  search: ['How far to search', 'not known without a position'],
});

function wayOf(job, peg, found, nowMs) {
  const staleS = oldS(job, nowMs);
  const unit = job.bundle.site.units.ground;
  const { distanceM, way, searchM } = found;
  return {
    parts: withinParts(distanceM, unit, searchM) ?? groundParts(distanceM, unit, searchM),
    way: staleS === null ? wayLines(way, unit, searchM) : [`No new position for ${staleS} s: where you were then`, ...wayLines(way, unit, searchM).slice(0, 1)],
    search: searchWords(job, peg, searchM, unit),
    picture: isVague(searchM) ? null : { ...onTheGrass(job, way, nowMs), searchM, isOld: staleS !== null, peg: shortName(peg.id) },
  };
}

/** Where the worker stands from the peg, up being the play: ground metres, and the way they face, degrees from up. */
function onTheGrass(job, way, at) {
  const facing = facingDeg(job, at);
  return { rightM: -way.rightM, upM: -way.towardGreenM, turnDeg: facing === null ? 0 : facing - bunkerOf(job).play_bearing_deg };
}

/** How far to search, and of what that is made: [words, small words]. */
function searchWords(job, peg, searchM, unit) {
  if (searchM === null && job.place.radius95M !== null) return ['How far to search', 'not known: nobody told how well this peg was placed'];
  if (searchM === null) return ['How far to search', 'not known: this receiver gives no accuracy figure'];
  if (isVague(searchM)) return ['Too poor to search by', `within ${radiusWords(searchM, unit)} (95 %): go into the open, and wait`];
  if (peg.state === 'planned') return [`It leads within ${radiusWords(searchM, unit)} of the place planned`, 'so well is your position known (95 %); a tape from two pegs settles it'];
  if (!(peg.withinM > 0)) return [`Search ${radiusWords(searchM, unit)} round it`, 'so well is your position known (95 %)'];
  const yours = `your position ${radiusWords(job.place.radius95M, unit)}`;
  return [`Search ${radiusWords(searchM, unit)} round it`, `${yours}, the peg's own place ${radiusWords(peg.withinM, unit)} (95 %)`];
}

function undoWords(job, pegId) {
  const last = lastOwnReport(job, pegId);
  return last === null ? null : `Take back: ${STATE_WORDS[last.state].toLowerCase()}, ${clockWords(last.made_at)}`;
}

/** Why a report that the peg was found is asked about once more: the receiver puts it far off; null where it does not. */
export function farOffWords(job, peg) {
  const found = wayToPeg(job, peg);
  if (found === null || found.searchM === null || found.distanceM <= FAR_OFF_RADII * found.searchM) return null;
  const away = groundParts(found.distanceM, job.bundle.site.units.ground, found.searchM).flat().join(' ');
  return `The receiver puts you ${away} from peg ${peg.id}, more than its errors explain. See which peg this is; tap again to report it all the same.`;
}

/** What is said once a report is kept, or was not. */
export function reportedWords({ state, peg = null, photos, practice }, isKept) {
  if (!isKept) return 'Not stored on this phone: see the notice above.';
  const withPhotos = photos === 0 ? '' : ` with ${photos} ${photos === 1 ? 'photo' : 'photos'}`;
  return `${peg === null ? STATE_WORDS[state] : `Peg ${peg}`}${withPhotos}: kept on this phone${practice ? ' as practice' : ''}.`;
}
