// The page of pegs and tape of a bunker: wires receiver, storage and screens to the job in hand.

import { loadIdentity, newId } from './device/identity.js';
import { createKeep } from './device/keep.js';
import { createOutbox } from './device/outbox.js';
import { createPhotoOutbox } from './device/photo_outbox.js';
import { createPictures } from './device/pictures.js';
import { isAppleTab } from './device/readiness.js';
import { createRevisionsFeed } from './device/revisions_feed.js';
import { createFrame } from './geometry/frame.js';
import { createPlanning } from './planning.js';
import { createReceiving } from './receiving.js';
import { addressesOf } from './session/addresses.js';
import * as jobs from './session/job.js';
import { photoNotices } from './session/photo_words.js';
import { receiverAsked } from './session/receiver_words.js';
import { noticesOf, once, startModel } from './session/sheets.js';
import { standingPegs } from './session/standing_pegs.js';
import { homeRows, tapeHead, tapePlace } from './session/tape_home.js';
import { createTapeScreens } from './tape_screens.js';
import { createStartPanel } from './view/start_panel.js';
import { createTapePage } from './view/tape_page.js';
import { createTapeRows } from './view/tape_rows.js';

const STALE_AFTER_S = 5;

const root = document.getElementById('pegs');
const addresses = addressesOf(location.pathname);
const asked = new URLSearchParams(location.search);
const keep = createKeep();
const outbox = createOutbox({ keep, url: addresses.records, onChange: () => page && change({ ...job, own: ownRecords() }), onRevisions: (revisions) => planning.hear(revisions) });
const photos = createPhotoOutbox({ keep, urlOf: addresses.photo, onChange: () => page && showAll() });
const pictures = createPictures({ keep, urlOf: addresses.photo, onChange: () => page && showAll() });
const planning = createPlanning({ keep, addresses, purpose: 'pegs and tape', current: () => job, change: (next) => { job = next; if (page) showAll(); } });
const stamp = () => ({ id: newId(), at: Date.now() });
const receiving = createReceiving({
  keep, outbox, change, startNumber: null, current: () => job, page: () => page, stamp,
  onFix: (fix) => { const timed = { ...fix, pageMs: performance.now() }; receiving.dropUnsound(timed); change(jobs.withFix(job, timed)); },
});
let job = null;
let page = null;
let canKeep = true;

/**
 * What every screen is given: `current()` and `change(job)` the job in hand, `stamp()` a new {id, at}, `pegs()` the pegs as
 * they stand, `go(name, arg)` to another screen and whether there `has(name)` one, `back()`, `refresh()` to show again,
 * `photos` to send and `pictures` to see, `told` what one screen has to say on the next.
 */
const screens = createTapeScreens({
  keep, outbox, photos, pictures, addresses, planning, receiving, stamp, change,
  told: createTold(), has: (name) => Object.hasOwn(screens, name), back: () => history.back(),
  current: () => job, page: () => page, pegs: () => standingPegs(job),
  go: (name, arg) => { location.hash = arg === undefined ? name : `${name}/${encodeURIComponent(arg)}`; },
  refresh: () => page && showAll(),
});
const home = createTapeRows({ label: 'What to do', onChoose: (name) => { location.hash = name; } });
let open = { screen: null };

outbox.start();
photos.start();
begin();

async function begin() {
  const [identity, bundle] = await Promise.all([loadIdentity(keep, addresses.me), planning.open(root), receiving.load()]);
  if (bundle === null) return;
  canKeep = identity.isKept;
  job = jobs.createJob({ bundle, frame: createFrame(bundle.frame), bunkerId: addresses.bunker, ...identity });
  const security = { isSecure: isSecureContext, protocol: location.protocol, host: location.host, workerFault: planning.workerFault(), trustUrl: addresses.trust };
  root.replaceChildren(createStartPanel({ ...startModel(job, security, isAppleTab(), planning.notices()), fieldUrl: addresses.field, receiver: receiverAsked(asked), onStart: start }).node);
}

function start({ receiver, person }) {
  page = createTapePage(root, {
    act: (name, key) => receiving.acts[name]?.(key), walk: receiving.walk, back: () => history.back(),
    place: receiving.checkIn.open, trial: receiving.trial, checkIn: receiving.checkIn,
  });
  if (person) keep.set('person', person).catch(() => {});
  job = { ...job, person: person || job.person, own: ownRecords() };
  page.body.before(planning.notice);
  receiving.choose(receiver);
  addEventListener('hashchange', route);
  route();
  setInterval(showAll, 1000);
  createRevisionsFeed({ url: addresses.records, hole: job.bundle.hole.number, onRevisions: planning.hear }).start();
}

const ownRecords = () => outbox.records().filter((r) => r.site === job.bundle.site.id);

/** The screen that the address names: #ties, or #peg/r4a with what follows given to the screen. */
function route() {
  const [name, arg] = location.hash.slice(1).split('/');
  open.screen?.leave?.();
  open = { screen: Object.hasOwn(screens, name) ? screens[name] : null };
  open.screen?.open?.(arg === undefined ? undefined : decodeURIComponent(arg));
  page.openScreen(open.screen?.node ?? home.node, open.screen === null);
  showAll();
}

function change(next) {
  job = next;
  if (page) showAll();
}

function showAll() {
  const records = { ...outbox.state(), photos: photos.state().waiting };
  page.notices.show(once(noticesOf({ canKeep, keptSince: planning.keptSince(), ...records }).concat(planning.notices(), receiving.notices(), photoNotices(photos.state()), open.screen?.notices?.() ?? [])));
  page.head.show(tapeHead(job, open.screen?.title ?? 'Pegs and tape', records));
  page.place.show(tapePlace(job, staleS()));
  receiving.show();
  if (open.screen === null) home.show(homeRows(screens));
  else open.screen.show?.();
}

/** Seconds since the last fix where those are too many, else null. */
function staleS() {
  if (job.fix === null) return null;
  const ageS = Math.round((Date.now() - job.fix.at) / 1000);
  return ageS > STALE_AFTER_S ? ageS : null;
}

/** Words that one screen leaves for the next. */
function createTold() {
  let words = '';
  return {
    give: (left) => { words = left; },
    take: () => { const left = words; words = ''; return left; },
  };
}
