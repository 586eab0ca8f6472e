// The phone page on which the places of a site are read: it needs no plan, so it works for a site still being made.

import { loadIdentity, newId } from './device/identity.js';
import { createKeep } from './device/keep.js';
import { createOffline } from './device/offline.js';
import { createOutbox } from './device/outbox.js';
import { createPlans } from './device/plans.js';
import { createPhoneReceiver } from './device/phone_receiver.js';
import { createWakeLock } from './device/wake_lock.js';
import { addressesOf } from './session/addresses.js';
import { refusalWords, sendFaultLines, sendWords } from './session/fault_words.js';
import { createFixClock } from './session/fix_clock.js';
import { gaugeFrom } from './session/gauge.js';
import { holdButtonOf } from './session/holding_words.js';
import { lastingFrom } from './session/lasting.js';
import { KINDS, beginReading, holdOrWalk, nextName, placeFault, placeRecord, placeWords, placesRead, readingModel, takenBack, withFix } from './session/place_reading.js';
import { createPlacesPage } from './view/places_page.js';
import { describePage } from './view/page_head.js';

const root = document.getElementById('places');
const addresses = addressesOf(location.pathname);
const keep = createKeep();
const draftKey = `places ${addresses.site}`;
const outbox = createOutbox({ keep, url: addresses.records, onChange: () => show() });
const offline = createOffline({ url: addresses.worker, scope: addresses.scope, onTaken: () => { if (reading.holding === null) location.reload(); } });
const awake = createWakeLock({ onChange: () => {} });
const stamp = () => ({ id: newId(), at: Date.now() });
let reading = beginReading();
let identity = { device: newId(), person: '', isKept: true };
let [what, said, isBusy] = ['peg', '', false];

const page = createPlacesPage({
  site: addresses.site, fieldHref: addresses.field, sitesHref: addresses.scope,
  onWhat: (chosen) => { what = chosen; said = ''; page.setTyped({ ...page.typed(), name: proposed() }); keepTyped(); },
  onTyped: () => { said = ''; if (what === 'turn' && document.activeElement?.id === 'hole') page.setTyped({ ...page.typed(), name: proposed() }); keepTyped(); },
  onHold: () => { reading = holdOrWalk(reading, Date.now()); said = ''; awake.want(reading.holding !== null); show(); },
  onSave: () => save(),
  onUndo: (id) => undo(id),
  onSend: () => outbox.send(),
});
const receiver = createPhoneReceiver({
  createClock: createFixClock,
  onFix: (fix) => { reading = withFix(reading, { ...fix, pageMs: performance.now() }); show(); },
  onTrouble: (trouble) => { reading = { ...reading, trouble }; show(); },
});

open();

async function open() {
  describePage('Read places', addresses.manifest);
  const [who, typed, trial, lasting] = await Promise.all([
    loadIdentity(keep, addresses.me), ...[draftKey, 'trial phone', 'lasting phone'].map((key) => keep.get(key).catch(() => null)),
  ]);
  identity = who;
  reading = beginReading({ ...gaugeFrom(trial, null), lasting: lastingFrom(lasting) });
  what = KINDS.some(([kind]) => kind === typed?.what) ? typed.what : 'peg';
  page.setTyped({ hole: typed?.hole ?? '', name: typed?.name ?? '' });
  page.setPerson(identity.person);
  root.replaceChildren(page.node);
  createPlans({ keep, indexUrl: addresses.index, canRead: () => false }).index().then((kept) => { if (kept) page.showField(); });
  outbox.start();
  offline.start();
  receiver.start();
  show();
  setInterval(show, 1000);
}

const proposed = () => nextName(what, page.typed().hole, outbox.records(), addresses.site);

function keepTyped() {
  keep.set(draftKey, { what, ...page.typed() }).catch(() => {});
  keep.set('person', page.person()).catch(() => {});
  show();
}

async function save() {
  const typed = { what, ...page.typed() };
  const model = readingModel(reading, Date.now());
  said = placeFault(typed, page.person()) ?? (model.canSave ? '' : model.note);
  if (said !== '' || isBusy) return show();
  isBusy = true;
  const record = placeRecord(reading, typed, { site: addresses.site, person: page.person(), device: identity.device }, stamp());
  const isKept = await outbox.add(record).finally(() => { isBusy = false; });
  reading = holdOrWalk(reading, Date.now());
  page.setTyped({ hole: typed.hole, name: proposed() });
  keepTyped();
  said = `${placeWords(record)}: ${isKept ? 'kept on this phone' : 'NOT kept by this phone; leave the page open until it is sent'}.`;
  return show();
}

async function undo(id) {
  const record = outbox.records().find((r) => r.id === id);
  await outbox.add(takenBack(record, stamp()));
  said = 'Taken back.';
  show();
}

function show() {
  const now = Date.now();
  const state = outbox.state();
  const faults = [...sendFaultLines(state.faults), ...(state.refused.length > 0 ? [refusalWords(state.refused)] : [])];
  page.show({
    ...readingModel(reading, now), what, kinds: KINDS, said, hold: holdButtonOf(reading, now),
    holeWords: what === 'peg' ? 'Hole, if it belongs to one' : 'Hole',
    nameWords: { peg: 'Name on the peg', tee: 'Tee, such as White', turn: 'Turning point, 1 nearest to the tee', green: '' }[what],
    send: sendWords(state), faults: faults.join(' '),
    places: placesRead(outbox.records(), addresses.site).map(({ record, words }) => ({ id: record.id, words })),
  });
}
