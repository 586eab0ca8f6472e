// The set-out page: wires receiver, storage and view to the job in hand.

import { createAiding } from './aiding.js';
import { createChecking } from './checking.js';
import { startCompass } from './device/compass_sensor.js';
import { loadIdentity, newId } from './device/identity.js';
import { createKeep } from './device/keep.js';
import { createOutbox } from './device/outbox.js';
import { isAppleTab } from './device/readiness.js';
import { timeFix } from './device/timing.js';
import { createFrame } from './geometry/frame.js';
import { createMarking } from './marking.js';
import { createPlanning } from './planning.js';
import { createReceiving } from './receiving.js';
import { addressesOf } from './session/addresses.js';
import { aimOf } from './session/aim.js';
import { whoStays } from './session/company.js';
import * as jobs from './session/job.js';
import { pageSecurityWords } from './session/page_security.js';
import { holeOf, pictureOf, upDegOf } from './session/picture.js';
import { receiverAsked } from './session/receiver_words.js';
import { figuresOf, headOf, markButtonOf, outlineChoices, undoLabel } from './session/screen.js';
import { moreModel, noticesOf, once, receiverModel, startModel } from './session/sheets.js';
import { lastOwnMark } from './session/standing.js';
import { createSharing } from './sharing.js';
import { listenToArrowKeys } from './view/arrow_keys.js';
import { createPage } from './view/page.js';
import { createStartPanel } from './view/start_panel.js';

const TAP_REACH_PX = 28;
const AFTER_THE_FIGURES_MS = 25;

const root = document.getElementById('set-out');
const addresses = addressesOf(location.pathname);
const asked = new URLSearchParams(location.search);
const keep = createKeep();
const outbox = createOutbox({ keep, url: addresses.records, onChange: () => page && takeMarks({}), onRevisions: (revisions) => planning.hear(revisions) });
const planning = createPlanning({ keep, addresses, current: () => job, change: (next) => { job = next; if (page) showAll(); } });
let job = null;
let page = null;
let figures = null;
let [shownFrame, isDrawing] = [null, false];
let canKeep = true;

const aiding = createAiding({ keep, onChange: () => page?.moreSheet.isOpen() && showAll() });
const receiving = createReceiving({
  keep, outbox, change, startNumber: asked.get('start') && Number(asked.get('start')),
  current: () => job, page: () => page, stamp: () => stamp(), onFix: (fix) => takeFix(fix),
});

outbox.start();
open();

async function open() {
  const [identity, bundle] = await Promise.all([loadIdentity(keep, addresses.me), planning.open(root), receiving.load(), aiding.load()]);
  if (bundle === null) return;
  canKeep = identity.isKept;
  job = jobs.createJob({ bundle, frame: createFrame(bundle.frame), bunkerId: addresses.bunker, ...identity });
  showStart();
}

const showStart = () => root.replaceChildren(createStartPanel({ ...startModel(job, securityNow(), isAppleTab(), planning.notices()), fieldUrl: addresses.field, receiver: receiverAsked(asked), onStart: start }).node);

function start({ receiver: chosen, person }) {
  startCompass((compass) => { job = { ...job, compass: { ...compass, at: Date.now() } }; showFigures(); });
  aiding.start();
  page = createPage(root, addresses, handlers);
  page.figures.node.before(planning.notice);
  setPerson(person);
  job.own = ownRecords();
  setReceiver(chosen);
  sharing.start();
  setInterval(showFigures, 1000);
  listenToArrowKeys((right, down) => receiving.steer(page.ground.step(right, down)));
}

function setPerson(person) {
  if (person === '') return;
  job.person = person;
  keep.set('person', person).catch(() => {});
}

function setReceiver(chosen) {
  shownFrame = null;
  receiving.choose(chosen);
}

function takeFix(fix) {
  const timed = { ...fix, pageMs: performance.now() };
  receiving.dropUnsound(timed);
  timeFix(() => {
    job = jobs.withFix(job, timed);
    showFigures();
  });
}

function takeMarks(changes) {
  const before = job;
  change(jobs.withMarks(job, { own: ownRecords(), ...changes }));
  const other = before.number === job.number ? null : jobs.paintedByOther({ ...job, number: before.number });
  if (other) page.mark.rest(`${before.number} is painted`, `by ${other.person}`);
}

function takeOthers(others) {
  const next = jobs.withCompany(job, others);
  const stays = next.number === job.number ? null : whoStays({ ...next, number: job.number });
  change(next);
  if (stays) page.mark.rest(`Go on to ${next.number}`, `${stays.name} is at ${stays.number}`);
}

const securityNow = () => ({ isSecure: isSecureContext, protocol: location.protocol, host: location.host, workerFault: planning.workerFault(), trustUrl: addresses.trust });
const securityNotices = () => [isSecureContext ? pageSecurityWords(securityNow()) : null].filter(Boolean).map((words) => ({ words, danger: false }));
const ownRecords = () => outbox.records().filter((r) => r.site === job.bundle.site.id && r.hole === job.bundle.hole.number);
const stamp = () => ({ id: newId(), at: Date.now() });
const moreNow = () => ({ ...moreModel(job, outbox.state(), aiding.model()), kept: planning.words() });
const aimNow = () => aimOf(job, Date.now());

function change(next) {
  job = next;
  showAll();
}

function showAll() {
  const records = { ...outbox.state(), photos: sharing.photosWaiting() };
  page.notices.show(once(noticesOf({ canKeep, keptSince: planning.keptSince(), ...records }).concat(securityNotices(), planning.notices(), receiving.notices(), sharing.notices())));
  page.head.show(headOf(job, records, sharing.hasSignal()));
  page.tools.show({ undoLabel: undoLabel(job), canUndo: lastOwnMark(job.marks) !== null, lineMode: job.mode === 'line' });
  page.ground.set(holeOf(job));
  if (page.moreSheet.isOpen()) page.moreSheet.show(moreNow());
  showFigures();
}

function showFigures() {
  const aim = aimNow();
  figures = figuresOf(job, aim, upDegOf(job, aim));
  page.figures.show(figures);
  page.verdict.show(figures.verdict);
  page.ground.setRadius(figures.radius, figures.radiusNote);
  page.remarks.show(figures.remarks);
  page.mark.show(markButtonOf(job, aim));
  checking.show(aim);
  if (page.receiverSheet.isOpen()) page.receiverSheet.show(receiverModel(job, aim));
  receiving.show();
  receiving.leadTo(aim.to ?? aim.point);
  aiding.show(aim);
  draw();
}

/** Draw the ground a little after the figures, so that their frame never waits for it. */
function draw() {
  if (isDrawing) return;
  isDrawing = true;
  setTimeout(() => {
    isDrawing = false;
    const picture = pictureOf(job, aimNow(), shownFrame, page.ground.size());
    shownFrame = picture.frame;
    page.ground.draw(picture);
  }, AFTER_THE_FIGURES_MS);
}

function openSheet(sheet, model) {
  sheet.show(model);
  sheet.open();
}

const chooseOutline = () => openSheet(page.outlineSheet, outlineChoices(job));
const { press, undo } = createMarking({
  outbox, change, aimNow, stamp, current: () => job, button: () => page.mark, onChoose: chooseOutline,
  onMarked: (isKept) => { receiving.marked(); if (isKept) aiding.stored(); },
});

const sharing = createSharing({
  keep, outbox, recordsUrl: addresses.records, change, aimNow, current: () => job, onOthers: takeOthers, onRevisions: planning.hear,
  onMarks: (serverMarks, askedAt) => { takeMarks({ serverMarks }); outbox.forgetSeen(askedAt); },
});

const checking = createChecking({ outbox, change, aimNow, stamp, receiving, current: () => job, page: () => page });
const handlers = {
  ...checking.on,
  press, undo, nearest: () => { planning.takeNewer(); change(jobs.aimAtNearest(job)); },
  tap: ({ x, y, scale }) => change(jobs.aimAtTouched(job, x, y, TAP_REACH_PX / scale)),
  drag: receiving.steer, walk: receiving.walk, hold: receiving.hold,
  say: () => aiding.say(job, aimNow(), figures),
  aid: aiding.set,
  trial: receiving.trial,
  checkIn: receiving.checkIn,
  line: () => change({ ...job, mode: job.mode === 'line' ? 'points' : 'line' }),
  choose: (chosen) => { planning.takeNewer(); change(jobs.choose({ ...job, mode: 'points' }, chosen)); },
  outlines: chooseOutline,
  details: () => openSheet(page.receiverSheet, receiverModel(job, aimNow())),
  more: () => openSheet(page.moreSheet, moreNow()),
  up: (up) => { shownFrame = null; change({ ...job, up }); },
  resize: draw,
  restart: receiving.restart, setLasting: receiving.setLasting, unsetLasting: receiving.unsetLasting,
  receiver: (chosen) => { setReceiver(chosen); page.moreSheet.close(); },
  person: setPerson,
  send: () => outbox.send(),
  act: (name, key) => (receiving.acts[name] ?? sharing.acts[name])(key),
};
