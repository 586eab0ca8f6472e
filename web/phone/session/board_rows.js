// The board of pegs: which of them, nearest first, each with its way and its state.

import { pegsNear } from './bunker_pegs.js';
import { bunkerOf } from './job.js';
import { groundWords, radiusWords } from './lengths.js';
import { noteOf, stateWords, toldWords, wayToPeg } from './peg_words.js';
import { isBelowRadius, isVague, troubleWords, wayLines } from './wording.js';

const BAD = ['moved', 'missing'];

/** What can be looked at: [[value, words]]. */
export const scopesOf = (job) => [['bunker', `By ${bunkerOf(job).name}`], ['site', 'Whole site']];

/** The pegs of a scope. */
export const pegsIn = (job, pegs, scope) => (scope === 'bunker' ? pegsNear(job, pegs) : pegs);

/** The ids of pegs nearest first, as given without a position. They stay in this order while the board is open, so that none moves from under a finger. */
export function nearestFirst(job, pegs) {
  const away = new Map(pegs.map((peg) => [peg.id, wayToPeg(job, peg)?.distanceM ?? 0]));
  return [...pegs].sort((a, b) => away.get(a.id) - away.get(b.id)).map(({ id }) => id);
}

/** The rows of pegs in the order of their ids: [{id, name, kind, state, words, told, way, far, note, photos, isBad}]. */
export function boardRows(job, pegs, ids, nowMs) {
  const known = new Map(pegs.map((peg) => [peg.id, peg]));
  return ids.filter((id) => known.has(id)).map((id) => rowOf(job, known.get(id), nowMs));
}

function rowOf(job, peg, nowMs) {
  const unit = job.bundle.site.units.ground;
  const found = wayToPeg(job, peg);
  return {
    id: peg.id, kind: peg.kind, state: peg.state ?? 'none', words: stateWords(peg), told: toldWords(peg, nowMs),
    far: found === null ? '' : farWords(found, unit),
    way: found === null || isNear(found) ? '' : wayLines(found.way, unit, found.searchM).join(', '),
    note: noteOf(peg), photos: peg.photos.length, isBad: BAD.includes(peg.state),
  };
}

const isNear = ({ distanceM, searchM }) => isVague(searchM) || isBelowRadius(distanceM, searchM);

function farWords({ distanceM, searchM }, unit) {
  if (isVague(searchM)) return '';
  return isBelowRadius(distanceM, searchM) ? 'here' : groundWords(distanceM, unit, searchM);
}

/** How far to search, above the rows: the receiver's own radius, or why there is no way to show. */
export function boardLead(job, count) {
  const { place, bundle } = job;
  if (count === 0) return 'No peg is near enough to tape from. Look at the whole site, or drive a new one.';
  if (place === null) return troubleWords(job.trouble);
  if (place.awayM !== null) return `You are ${(place.awayM / 1000).toFixed(0)} km away, too far to show the way.`;
  if (place.radius95M === null) return 'This receiver gives no accuracy figure: how far to search cannot be told.';
  if (isVague(place.radius95M)) return `Your position is too poor to show the way: within ${radiusWords(place.radius95M, bundle.site.units.ground)} (95 %). Go into the open, and wait.`;
  return `Search ${radiusWords(place.radius95M, bundle.site.units.ground)} round the spot it leads to: so well is your position known (95 %).`;
}

/** How pegs stand, for the row that leads here: '6 pegs, 1 missing'. */
export function boardWords(job, pegs) {
  const near = pegsNear(job, pegs);
  const bad = BAD.map((state) => [near.filter((peg) => peg.state === state).length, state]).filter(([count]) => count > 0);
  const count = `${near.length} ${near.length === 1 ? 'peg' : 'pegs'} by this bunker`;
  return [count, ...bad.map((pair) => pair.join(' '))].join(', ');
}
