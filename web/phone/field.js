// The phone's own page of a site: shows what is kept, brings it up to date, and checks it before the way out.

import { createKeep } from './device/keep.js';
import { createOffline } from './device/offline.js';
import { createOutbox } from './device/outbox.js';
import { createPhotoOutbox } from './device/photo_outbox.js';
import { createPictures } from './device/pictures.js';
import { createPlans } from './device/plans.js';
import { isAppleTab } from './device/readiness.js';
import { createYard } from './yard.js';
import { addressesOf } from './session/addresses.js';
import { fieldModel } from './session/field_model.js';
import { canRead } from './session/fresh_plan.js';
import { lastCheckWords } from './session/ready.js';
import { isNews } from './session/superseded.js';
import { createFieldPage } from './view/field_page.js';
import { describePage } from './view/page_head.js';

const AGAIN_MS = 60e3;

const root = document.getElementById('field');
const addresses = addressesOf(location.pathname);
const keep = createKeep();
const plans = createPlans({ keep, indexUrl: addresses.index, canRead });
const outbox = createOutbox({ keep, url: addresses.records, onChange: () => show(), onRevisions: (revisions) => { if (isNews(index, revisions)) freshen(); } });
const photos = createPhotoOutbox({ keep, urlOf: addresses.photo, onChange: () => show() });
const pictures = createPictures({ keep, urlOf: addresses.photo, onChange: () => {} });
const offline = createOffline({ url: addresses.worker, scope: addresses.scope, onChange: () => takeNewer(), onTaken: () => location.reload() });
const held = new Map();
let [index, fault, bringing] = [null, null, null];

const page = createFieldPage({
  planHref: addresses.sitePage, placesHref: `${addresses.sitePage}/places`, onReady: () => yard.check(), onSend: () => { outbox.send(); photos.send(); }, onNewer: () => offline.takeNewer(),
});
const yard = createYard({
  addresses, keep, offline, page, freshen,
  waiting: () => outbox.state().waiting,
  plans: () => ({ held: (index?.holes ?? []).map((hole) => held.get(hole.bundle_url) ?? null), fault }),
});

open();

async function open() {
  describePage('Out on the ground', addresses.manifest);
  await showKept();
  root.replaceChildren(page.node);
  outbox.start();
  photos.start();
  page.readyNote(lastCheckWords(await keep.get(`ready ${addresses.field}`).catch(() => null), Date.now()));
  await freshen();
  offline.start();
  if (isAppleTab()) yard.showHomeScreen();
  setInterval(freshen, AGAIN_MS);
  addEventListener('online', freshen);
  document.addEventListener('visibilitychange', () => { if (document.visibilityState === 'visible') { freshen(); offline.look(); } });
}

async function showKept() {
  index = (await plans.index())?.index ?? null;
  for (const { bundle_url: url } of index?.holes ?? []) {
    const plan = await plans.plan(url);
    if (plan) held.set(url, plan);
  }
  show();
}

/** Bring the list and every plan up to date, once at a time; what cannot be had stays as it is kept. */
function freshen() {
  bringing ??= bring().finally(() => { bringing = null; });
  return bringing;
}

async function bring() {
  try {
    index = await plans.freshIndex();
    fault = null;
    show();
    const [first] = await plans.keepAll(index, (hole, plan) => { if (plan) held.set(hole.bundle_url, plan); show(); });
    fault = first ?? null;
    pictures.keepReady(photosOfPegs());
  } catch (thrown) {
    fault = thrown;
  }
  show();
}

/** The ids of the photos of all pegs, which every plan of the site tells of. */
const photosOfPegs = () => [...new Set([...held.values()].flatMap(({ bundle }) => (bundle.peg_photos ?? []).flatMap(({ photos: ids }) => ids)))];

function show() {
  const outboxState = { ...outbox.state(), photos: photos.state().waiting };
  page.show(fieldModel({ index, plans: held, records: outbox.records(), outbox: outboxState, fault, nowMs: Date.now(), hrefOf: addresses.setOut, pegsHrefOf: addresses.pegs }));
  if (index) document.title = index.name;
}

/** A newer release comes by itself, unless a check is on the screen: then a tap brings it. */
function takeNewer() {
  const { newer, isBusy } = offline.state();
  if (!newer) return page.showNewer(null);
  if (isBusy) return page.showNewer('A newer version of this page is here. Close every set-out page, then take it.');
  if (yard.isOpen()) return page.showNewer('A newer version of this page is here.');
  return offline.takeNewer();
}
