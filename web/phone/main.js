// The set-out page: wires receiver, storage and view to the job in hand.

import { createAiding } from './aiding.js';
import { startCompass } from './device/compass_sensor.js';
import { createMarksFeed, fetchBundle } from './device/fetched.js';
import { loadIdentity, newId } from './device/identity.js';
import { createKeep } from './device/keep.js';
import { createOutbox } from './device/outbox.js';
import { timeFix } from './device/timing.js';
import { createFrame } from './geometry/frame.js';
import { createMarking } from './marking.js';
import { createReceiving } from './receiving.js';
import { aimOf } from './session/aim.js';
import { loadFaultWords } from './session/fault_words.js';
import * as jobs from './session/job.js';
import { holeOf, pictureOf, upDegOf } from './session/picture.js';
import { receiverAsked, receiverRows } from './session/receiver_words.js';
import { figuresOf, headOf, markButtonOf, outlineChoices, undoLabel } from './session/screen.js';
import { bundleFault, moreModel, noticesOf, startModel, yardageModel } from './session/sheets.js';
import { lastOwnMark } from './session/standing.js';
import { listenToArrowKeys } from './view/arrow_keys.js';
import { createPage, showOnlyWords } from './view/page.js';
import { createStartPanel } from './view/start_panel.js';

const TAP_REACH_PX = 28;
const AFTER_THE_FIGURES_MS = 25;

const root = document.getElementById('set-out');
const { bunker: bunkerId, bundleUrl, recordsUrl, siteUrl } = root.dataset;
const asked = new URLSearchParams(location.search);
const keep = createKeep();
const outbox = createOutbox({ keep, url: recordsUrl, onChange: () => page && takeMarks({}) });
let job = null;
let page = null;
let figures = null;
let [shownFrame, isDrawing] = [null, false];
let storage = { canKeep: true, keptSince: null };

const aiding = createAiding({ keep, onChange: () => page?.moreSheet.isOpen() && showAll() });
const receiving = createReceiving({
  keep, outbox, change, startNumber: asked.get('start') && Number(asked.get('start')),
  current: () => job, page: () => page, stamp: () => stamp(), onFix: (fix) => takeFix(fix),
});

outbox.start();
open();

async function open() {
  const [identity] = await Promise.all([loadIdentity(keep), receiving.load(), aiding.load()]);
  try {
    const { bundle, keptAt } = await fetchBundle(bundleUrl, keep, Date.now());
    const fault = bundleFault(bundle, bunkerId);
    if (fault) return showOnlyWords(root, 'Set out', fault, null);
    storage = { canKeep: identity.isKept, keptSince: keptAt && new Date(keptAt).toLocaleString([], { dateStyle: 'medium', timeStyle: 'short' }) };
    job = jobs.createJob({ bundle, frame: createFrame(bundle.frame), bunkerId, ...identity });
  } catch (fault) {
    const { title, words } = loadFaultWords(fault);
    return showOnlyWords(root, title, words, open);
  }
  return showStart();
}

function showStart() {
  root.replaceChildren(createStartPanel({ ...startModel(job, isSecureContext), receiver: receiverAsked(asked), onStart: start }).node);
}

function start({ receiver: chosen, person }) {
  startCompass((compass) => { job = { ...job, compass: { ...compass, at: Date.now() } }; showFigures(); });
  aiding.start();
  page = createPage(root, siteUrl, handlers);
  setPerson(person);
  job.own = ownRecords();
  setReceiver(chosen);
  createMarksFeed({
    url: recordsUrl,
    hole: job.bundle.hole.number,
    onMarks: (serverMarks, askedAt) => { takeMarks({ serverMarks }); outbox.forgetSeen(askedAt); },
  }).start();
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
  timeFix(() => {
    job = jobs.withFix(job, fix);
    showFigures();
  });
}

function takeMarks(changes) {
  const before = job;
  change(jobs.withMarks(job, { own: ownRecords(), ...changes }));
  const other = before.number === job.number ? null : jobs.paintedByOther({ ...job, number: before.number });
  if (other) page.mark.rest(`${before.number} is painted`, `by ${other.person}`);
}

const ownRecords = () => outbox.records().filter((r) => r.site === job.bundle.site.id && r.hole === job.bundle.hole.number);
const stamp = () => ({ id: newId(), at: Date.now() });
const aimNow = () => aimOf(job, Date.now());

function change(next) {
  job = next;
  showAll();
}

function showAll() {
  const records = outbox.state();
  page.notices.show(noticesOf({ ...storage, ...records }));
  page.head.show(headOf(job, records));
  page.tools.show({ undoLabel: undoLabel(job), canUndo: lastOwnMark(job.marks) !== null, lineMode: job.mode === 'line' });
  page.ground.set(holeOf(job));
  if (page.moreSheet.isOpen()) page.moreSheet.show(moreModel(job, records, aiding.model()));
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
  if (page.yardageSheet.isOpen()) page.yardageSheet.show(yardageModel(job, aim));
  if (page.receiverSheet.isOpen()) page.receiverSheet.show(receiverRows(job, aim, job.bundle.site.units.ground));
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

const handlers = {
  press, undo, nearest: () => change(jobs.aimAtNearest(job)),
  tap: ({ x, y, scale }) => change(jobs.aimAtTouched(job, x, y, TAP_REACH_PX / scale)),
  drag: receiving.steer,
  walk: receiving.walk,
  hold: receiving.hold,
  say: () => aiding.say(job, aimNow(), figures),
  aid: aiding.set,
  trial: receiving.trial,
  checkIn: receiving.checkIn,
  line: () => change({ ...job, mode: job.mode === 'line' ? 'points' : 'line' }),
  choose: (chosen) => change(jobs.choose({ ...job, mode: 'points' }, chosen)),
  outlines: chooseOutline,
  yardage: () => openSheet(page.yardageSheet, yardageModel(job, aimNow())),
  details: () => openSheet(page.receiverSheet, receiverRows(job, aimNow(), job.bundle.site.units.ground)),
  more: () => openSheet(page.moreSheet, moreModel(job, outbox.state(), aiding.model())),
  tee: (teeId) => change({ ...job, teeId }),
  unit: (yardageUnit) => change({ ...job, yardageUnit }),
  up: (up) => { shownFrame = null; change({ ...job, up }); },
  resize: draw,
  restart: receiving.restart,
  receiver: (chosen) => { setReceiver(chosen); page.moreSheet.close(); },
  person: setPerson,
  send: () => outbox.send(),
};
