// Work with others and records by hand: who is where, what was painted twice, and the file for when nothing else goes.

import { giveFile } from './device/handing_over.js';
import { createMarksFeed } from './device/marks_feed.js';
import { createPhotoOutbox } from './device/photo_outbox.js';
import { paintedTwice, presenceOf } from './session/company.js';
import { closedDoor } from './session/fault_words.js';
import { givenWords, handOverFile, longUnsent } from './session/hand_over.js';

const PUT_AWAY_KEPT = 200;
const MISSED_IS_NO_SIGNAL = 2;

/** {start(), notices(), photosWaiting(), hasSignal(), acts: {name: (key) => …}}. `current()` and `change(job)` are the job in hand, `aimNow()` its aim. */
export function createSharing({ keep, outbox, recordsUrl, current, change, aimNow, onMarks, onRevisions, onOthers }) {
  const photos = createPhotoOutbox({ keep, urlOf: null, onChange: () => change(current()) });
  let putAway = [];
  let told = null;
  let reach = { missed: 0, fault: null };

  const start = () => {
    keep.get('put away').then((kept) => { putAway = kept ?? []; change(current()); }, () => {});
    photos.start();
    createMarksFeed({
      url: recordsUrl,
      presenceUrl: recordsUrl.replace(/records$/, 'presence'),
      hole: current().bundle.hole.number,
      presence: () => presenceOf(current(), aimNow()),
      onMarks,
      onRevisions,
      onOthers,
      onReach: (now) => { reach = now; change(current()); },
    }).start();
  };

  const notices = () => [
    told,
    closedDoor(reach.fault),
    longUnsent(outbox.state(), Date.now()),
    ...paintedTwice(current()).filter(({ key }) => !putAway.includes(key))
      .map(({ key, words }) => ({ words, danger: false, acts: [{ name: 'putAway', words: 'Put away', key }] })),
  ].filter(Boolean);

  const handOver = async () => {
    const { bundle, device, person } = current();
    const lists = outbox.handOver();
    const { name, text } = handOverFile({ site: bundle.site.id, device, person, ...lists }, Date.now());
    const how = await giveFile(name, text);
    const words = givenWords(how, lists.unsent.length + lists.refused.length + lists.sent.length);
    told = { words, danger: false, acts: [{ name: 'putAway', words: 'Put away', key: null }] };
    if (how !== 'left') await outbox.markRefused({ handedOver: new Date().toISOString() });
    change(current());
  };

  const acts = {
    handOver,
    putRefusedAway: () => outbox.markRefused({ putAway: new Date().toISOString() }),
    putAway: (key) => {
      if (key === null) told = null;
      else putAway = [...putAway, key].slice(-PUT_AWAY_KEPT);
      keep.set('put away', putAway).catch(() => {});
      change(current());
    },
  };

  return { start, notices, photosWaiting: () => photos.state().waiting, hasSignal: () => reach.missed < MISSED_IS_NO_SIGNAL, acts };
}
