// The first screen of pegs and tape: the head, where the phone is, and what can be done.

import { sendWords } from './fault_words.js';
import { bunkerOf } from './job.js';
import { radiusLine, troubleWords } from './wording.js';

/** The head of the page: {title, place, send}. */
export function tapeHead(job, title, outbox) {
  const bunker = bunkerOf(job);
  const isPractice = job.practice !== null && outbox.waiting + outbox.refused.length + outbox.photos === 0;
  return { title, place: `${bunker.name}, revision ${bunker.revision}`, send: isPractice ? 'practice' : sendWords(outbox) };
}

/** How well the place is known, for the foot of the page: {label, note}. */
export function tapePlace(job, staleS) {
  const unit = job.bundle.site.units.ground;
  if (job.place === null) return { label: 'No position', note: troubleWords(job.trouble) };
  if (job.place.awayM !== null) return { label: 'Far from this hole', note: `${(job.place.awayM / 1000).toFixed(0)} km away` };
  const checkedIn = job.place.checkIn ? `checked in on ${job.place.checkIn.peg}` : 'check in on a peg';
  return { label: radiusLine(job.place.radius95M, unit, staleS), note: checkedIn };
}

/** The rows of the first screen: those of the screens that there are, [{name, label, words, weight}]. */
export function homeRows(screens) {
  return Object.entries(screens).filter(([, screen]) => screen.label).map(([name, screen], i) => (
    { name, label: screen.label, words: screen.words(), weight: i === 0 ? 'first' : 'plain' }));
}
