// The records of this phone as one file for a person to carry, and when the page should offer it.

import { longWords } from './clock_words.js';

const LONG_MS = 4 * 3600e3;

export const HAND_OVER = { name: 'handOver', words: 'Hand over as a file' };

/**
 * The file: {name, text}. `unsent`, `refused` and `sent` are records in the order made; all go into it, unsent first.
 * `at` is now, in milliseconds.
 */
export function handOverFile({ site, device, person, unsent, refused, sent }, at) {
  const records = [...unsent, ...refused, ...sent];
  const header = {
    format: 'fieldapp-records', version: 1, site, device, person, made_at: new Date(at).toISOString(),
    counts: { unsent: unsent.length, refused: refused.length, sent: sent.length },
  };
  const stamp = header.made_at.slice(0, 16).replace(/[-:]/g, '').replace('T', '-');
  return { name: `fieldapp-records-${site}-${stamp}`, text: JSON.stringify({ ...header, records }, null, 1) };
}

/** What became of handing over, in words. */
export function givenWords(how, count) {
  const records = count === 1 ? '1 record' : `${count} records`;
  if (how === 'left') return 'Nothing was handed over.';
  return `${records} handed over ${how === 'saved' ? 'as a file among this phone\'s downloads' : 'as a file'}. At the desk: the site's page, Hand in a phone's file.`;
}

/** The notice for records that could not be sent for long: {words, danger, acts}, or null. */
export function longUnsent({ waiting, oldestAt }, nowMs) {
  if (waiting === 0 || oldestAt === null || nowMs - oldestAt < LONG_MS) return null;
  const records = waiting === 1 ? '1 record waits' : `${waiting} records wait`;
  return { words: `${records} to be sent, the oldest for ${longWords(nowMs - oldestAt)}. Kept on this phone.`, danger: false, acts: [HAND_OVER] };
}

/** What can be done about refused records: hand them over, and after that put their notice away. */
export function refusedActs(refused) {
  const putAway = { name: 'putRefusedAway', words: 'Put away' };
  return refused.every((r) => r.handedOver) ? [HAND_OVER, putAway] : [HAND_OVER];
}
