// The screen that records what is sprayed: one draft at a time, kept on the phone with every change.

import { createDraftKeep } from './device/draft_keep.js';
import * as drafts from './session/capture_draft.js';
import { chooseModel, captureRowWords, fieldNames, lookModel, measureModel, walkModel } from './session/capture_model.js';
import { capturePicture } from './session/capture_picture.js';
import { draftState } from './session/capture_record.js';
import { aheadOnLine, walkTrouble, withWalked } from './session/capture_walk.js';
import { farWords } from './session/capture_words.js';
import { bunkerPegs } from './session/bunker_pegs.js';
import { bunkerOf } from './session/job.js';
import { capturedRecord, undoRecord } from './session/record.js';
import { tapeOf } from './session/tape.js';
import { lengthTyped } from './session/typed_length.js';
import { createCaptureScreen } from './view/capture_screen.js';

const NOT_KEPT = 'This phone stores nothing now: keep this page open until all is sent.';

/** The screen; `on` is what the page of pegs and tape gives each. */
export function createCapture(on) {
  const kept = createDraftKeep({ keep: on.keep, keyOf: () => drafts.draftKey(on.current()), read: drafts.draftFrom, onRead: take });
  let state = { draft: null, outlineId: null, isSure: false, told: [], doubt: null, chosen: null, isWalking: false, isSaving: false, isChoosing: false };
  let part = 'choose';

  const view = createCaptureScreen({
    onOutline: (outlineId) => set({ outlineId }), onRow: choose, onUndo: undo, onLook: () => on.go('capture', 'look'),
    onChange: () => set({ isChoosing: true }),
    onEntry: (changes) => { put(drafts.withEntry(state.draft, changes)); set({ told: [], doubt: null }); },
    onAdd: add, onWalk: walk, onCurve: (curve) => put({ ...state.draft, curve }),
    onPoint: (number) => set({ chosen: number === state.chosen ? null : number }),
    onTakeOut: () => { put(drafts.withoutPoint(state.draft, state.chosen)); set({ chosen: null }); },
    onAfter: () => { put(drafts.goOnAfter(state.draft, state.chosen)); set({ chosen: null }); measure(); },
    onSave: save, onResize: () => on.refresh(),
  });

  const tape = () => {
    const { bundle } = on.current();
    return { scale: bundle.frame.ground_scale, errorM: tapeOf(on.current()).errorM, unit: bundle.site.units.ground };
  };

  function set(changes) {
    state = { ...state, ...changes };
    on.refresh();
  }

  function put(draft) {
    state = { ...state, draft };
    const isKept = kept.write(draft);
    on.refresh();
    return isKept;
  }

  /** What was kept; a draft whose record was taken back goes on under another id. */
  function take(draft) {
    const isBack = draft !== null && draftState(on.current(), draft) === 'taken back';
    state = { ...state, draft: isBack ? { ...draft, id: on.stamp().id } : draft, isWalking: false };
    on.refresh();
  }

  const measure = () => on.go('capture', drafts.isWalk(state.draft) ? 'walk' : 'measure');

  function choose(name) {
    if (!kept.isRead()) return undefined;
    if (name === 'go on') return measure();
    if (name === 'look') return on.go('capture', 'look');
    if (name === 'anew') return state.isSure ? begun(null) : set({ isSure: true });
    const pegs = bunkerPegs(on.current(), on.pegs());
    begun(drafts.newDraft(on.current(), { id: on.stamp().id, outlineId: outlineId(), by: name, pegs }));
    return measure();
  }

  function begun(draft) {
    set({ isSure: false, told: [], doubt: null, chosen: null, isWalking: false });
    put(draft);
  }

  const outlineId = () => state.outlineId ?? on.current().outlineId;

  /** The point as it is typed: {point, pegs}, or {fault}. */
  function typed() {
    const { entry } = state.draft;
    if (entry.by === 'reading') return here();
    const names = fieldNames(entry);
    const lengths = [entry.first, entry.second].map((text, i) => lengthTyped(text, tape().unit, names[i]));
    const fault = lengths.find((one) => one.fault)?.fault;
    if (fault) return { fault };
    const measured = drafts.measurement(entry, lengths.map(({ lengthM }) => lengthM));
    return measured.fault ? measured : drafts.tryPoint(state.draft, measured, on.pegs(), tape());
  }

  function here() {
    const job = on.current();
    const trouble = walkTrouble(job);
    return trouble === null ? { point: drafts.pointHere(job.place) } : { fault: trouble };
  }

  function add() {
    const found = typed();
    if (found.fault) return set({ told: [found.fault], doubt: null });
    const far = farWords(on.current(), state.draft, found.point);
    if (far !== null && state.doubt === null) return set({ told: [far], doubt: far });
    const number = drafts.nextNumber(state.draft);
    const isKept = put(drafts.withPoint(state.draft, found.point, found.pegs));
    set({ told: [`Point ${number} …`], doubt: null, isChoosing: false });
    view.focusFirst();
    return isKept.then((stored) => set({ told: [stored ? `Point ${number} is kept on this phone.` : NOT_KEPT] }));
  }

  function walk() {
    set({ isWalking: !state.isWalking });
  }

  /** Take the last position into the walk; called with every position and every second. */
  function walkOn() {
    const draft = withWalked(state.draft, on.current());
    if (draft === state.draft) return;
    state = { ...state, draft };
    kept.write(draft);
  }

  /** A practice receiver is led along the drawn line. */
  function lead(job) {
    const outline = bunkerOf(job).outlines.find(({ id }) => id === state.draft.outline);
    if (outline && job.place?.awayM === null) on.receiving.leadTo(aheadOnLine(outline, job.place, tape().scale, state.isWalking));
  }

  async function save() {
    if (state.isSaving) return;
    set({ isSaving: true });
    const isKept = await on.outbox.add(capturedRecord(on.current(), state.draft, on.stamp().at));
    set({ isSaving: false, chosen: null, told: isKept ? [] : [NOT_KEPT] });
    on.go('capture');
  }

  async function undo() {
    const [job, { draft }] = [on.current(), state];
    const record = job.own.find(({ id }) => id === draft.id);
    await on.outbox.add(undoRecord(job, record, on.stamp()));
    put({ ...draft, id: on.stamp().id });
  }

  const isUsable = () => kept.isRead() && state.draft !== null && draftState(on.current(), state.draft) === 'open';

  /** The part of the screen that is asked for, where there is a draft to show in it. */
  const partNow = () => (part !== 'choose' && isUsable() ? part : 'choose');

  const picture = () => {
    const trial = partNow() === 'measure' ? typed() : {};
    return capturePicture(on.current(), state.draft, { pegs: bunkerPegs(on.current(), on.pegs()), trial: trial.point ?? null, chosen: state.chosen, isLooking: partNow() === 'look', size: view.size() });
  };

  function show() {
    kept.follow();
    const [job, pegs, now] = [on.current(), on.pegs(), partNow()];
    if (now === 'walk') lead(job);
    if (now === 'walk' && state.isWalking) walkOn();
    const told = kept.isRead() && kept.isFailing() ? [...state.told.filter((words) => words !== NOT_KEPT), NOT_KEPT] : state.told;
    const models = { choose: chooseModel, measure: measureModel, walk: walkModel, look: lookModel };
    view.show(now, models[now](job, { ...state, told, outlineId: outlineId() }, pegs), now === 'choose' ? null : picture());
  }

  return {
    title: 'Record what is sprayed', label: 'Record what is sprayed',
    words: () => { kept.follow(); return captureRowWords(on.current(), kept.isRead() ? state.draft : null); },
    node: view.node, show, notices: kept.notices,
    open: (arg) => { part = ['measure', 'walk', 'look'].includes(arg) ? arg : 'choose'; state = { ...state, isSure: false, told: [], doubt: null, chosen: null }; },
    leave: () => { state = { ...state, isWalking: false }; },
  };
}
