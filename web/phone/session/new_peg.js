// A new peg: its name, and where it stands by this phone's position.

import { radiusWords } from './lengths.js';
import { oldS } from './peg_words.js';
import { isVague, troubleWords } from './wording.js';

/** A control peg is one whose place somebody has measured; a position on a phone makes none. */
export const NEW_KINDS = [['reference', 'Reference'], ['paint', 'Paint']];
const LETTERS = 'abcdefghijklmnopqrstuvwxyz';
const LONGEST_ID = 16;

/** A free id for a new peg of a hole: the letter 'r', the hole, the first letter that no peg has: 'r4d'. */
export function proposedId(pegs, hole) {
  const taken = new Set(pegs.map(({ id }) => id.toLowerCase()));
  const ids = [...LETTERS].map((letter) => `r${hole}${letter}`);
  return ids.find((id) => !taken.has(id)) ?? `r${hole}-${pegs.length + 1}`;
}

/** What is wrong with an id as typed; null when it can be had. `fixed` is the id of a planned peg that is driven now. */
export function idFault(id, pegs, fixed = null) {
  if (id === '') return 'Give the peg a name, such as the one proposed.';
  if (id.length > LONGEST_ID || !/^[\p{L}\p{N}_-]+$/u.test(id)) return `A peg's name is letters, digits and hyphens, at most ${LONGEST_ID}.`;
  const taken = pegs.find((peg) => peg.id.toLowerCase() === id.toLowerCase());
  return taken && taken.id !== fixed ? `There is a peg ${taken.id} already; give this one another name.` : null;
}

/** Where the peg would be, {place: {x, y, withinM, by} or null, label, note}: only by a position that says how good it is. */
export function newPlace(job, nowMs) {
  const { place } = job;
  const unit = job.bundle.site.units.ground;
  const staleS = oldS(job, nowMs);
  if (place === null) return { place: null, label: 'No position', note: troubleWords(job.trouble) };
  if (place.awayM !== null) return { place: null, label: 'Far from this hole', note: `You are ${(place.awayM / 1000).toFixed(0)} km away.` };
  if (staleS !== null) return { place: null, label: 'Old position', note: `No new position for ${staleS} s. Wait for one.` };
  if (place.radius95M === null) return { place: null, label: 'How well is not known', note: 'This receiver gives no accuracy figure, so nothing could be searched or taped from this peg.' };
  if (isVague(place.radius95M)) return { place: null, label: `Within ${radiusWords(place.radius95M, unit)}`, note: 'Too poor to find the peg by. Go into the open and wait.' };
  return {
    place: { x: place.x, y: place.y, withinM: place.radius95M, by: 'reading' },
    label: `Within ${radiusWords(place.radius95M, unit)} (95 %)`, note: worthWords(place.radius95M),
  };
}

function worthWords(radius95M) {
  if (radius95M <= 0.05) return 'Good enough to tape from.';
  return 'Good enough to find it again, not to tape from: tape it from two other pegs for that.';
}
