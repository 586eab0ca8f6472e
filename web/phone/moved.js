// The screen that tells whether a peg has moved: distances between pegs are taped, the misfit points at the peg or the distance.

import { createDraftKeep } from './device/draft_keep.js';
import { bunkerPegs } from './session/bunker_pegs.js';
import * as lines from './session/morning_draft.js';
import { linesToTape, tapesSay } from './session/morning_tapes.js';
import { tapesWords } from './session/morning_verdict.js';
import { isUnsaved, movedFrom, movedKey, movedState, newMoved } from './session/moved_draft.js';
import { movedModel, movedRowWords } from './session/moved_model.js';
import { tapedInMorning, undoRecord } from './session/record.js';
import { isInPlace } from './session/standing_pegs.js';
import { createMovedScreen } from './view/moved_screen.js';

const OLD = 'Distances of another day were not saved. Tape them again.';
const SAVED = 'Saved, and sent when there is signal.';
const NOT_KEPT = 'This phone could not store it: keep this page open until it is sent.';
const NOTHING = 'Type what the tape says of one distance at least.';
const FAULTY = 'One of these is no distance: see below it.';
const TAKEN_BACK = 'Taken back. Both stay in the record.';

/** The screen; `on` is what the page of pegs and tape gives each. */
export function createMoved(on) {
  const kept = createDraftKeep({ keep: on.keep, keyOf: () => movedKey(on.current()), read: movedFrom, onRead: take });
  let state = { draft: null, told: [], pick: null };
  let worked = { key: null, out: null };
  let busy = false;

  const view = createMovedScreen({
    onTyped: (i, text) => edit((draft) => lines.withTyped(draft, i, text)),
    onDrop: (i) => edit((draft) => lines.withoutLine(draft, i)),
    onWanted: () => addLine(...workOut().said.finding.wanted),
    onPick: (changes) => set({ pick: { one: null, other: null, ...state.pick, ...changes }, told: [] }),
    onAddPicked: () => (state.pick.one && state.pick.other ? addLine(state.pick.one, state.pick.other) : set({ told: ['Choose the two pegs first.'] })),
    onDone: () => alone(isSaved() ? begin : save),
    onOther: () => alone(takeBack),
  });

  const near = () => bunkerPegs(on.current(), on.pegs());
  const inPlace = () => near().filter(isInPlace);
  const isSaved = () => movedState(on.current(), state.draft) === 'saved';

  function set(changes) {
    state = { ...state, ...changes };
    on.refresh();
  }

  function put(draft, more = {}) {
    kept.write(draft);
    set({ draft, told: [], ...more });
  }

  function fresh() {
    const { id, at } = on.stamp();
    return newMoved(id, linesToTape(on.current(), inPlace()), at);
  }

  /** What was kept; distances of another day say nothing of where the pegs stand now. */
  function take(draft) {
    const isGone = draft === null || lines.isOld(draft, on.stamp().at);
    set({ draft: isGone ? fresh() : draft, told: isGone && draft !== null && isUnsaved(on.current(), draft) ? [OLD] : [], pick: null });
  }

  const begin = () => put(fresh());

  /** What was saved or taken back stays as it is in the record: a change makes another record. */
  function edit(change) {
    const isOpen = movedState(on.current(), state.draft) === 'open';
    put(change(isOpen ? state.draft : { ...state.draft, id: on.stamp().id }));
  }

  function addLine(one, other) {
    const { fault } = lines.withLine(state.draft, one, other);
    if (fault) set({ told: [fault] });
    else edit((draft) => lines.withLine(draft, one, other).draft);
    if (!fault) set({ pick: null });
  }

  /** What all that was typed comes to; worked out again only when something changed. */
  function workOut() {
    const [job, pegs, { draft }] = [on.current(), inPlace(), state];
    const key = JSON.stringify([draft.lines, pegs.map(({ id, x, y, withinM, levelM }) => [id, x, y, withinM, levelM])]);
    if (worked.key !== key) {
      const typed = lines.typedLines(draft, job.bundle.site.units.ground);
      worked = { key, out: { pegs, faults: typed.faults, said: tapesSay(job, pegs, typed.lines) } };
    }
    return worked.out;
  }

  async function alone(work) {
    if (busy) return;
    busy = true;
    try {
      await work();
    } finally {
      busy = false;
    }
  }

  async function save() {
    const [job, { pegs, faults, said }] = [on.current(), workOut()];
    if (faults.some(Boolean) || said.faults.length > 0) return set({ told: [FAULTY] });
    if (said.finding === null) return set({ told: [NOTHING] });
    const words = tapesWords(said.finding, job.bundle.site.units.ground);
    const isKept = await on.outbox.add(tapedInMorning(job, { pegs, said, words }, { ...on.stamp(), id: state.draft.id }));
    return set({ told: [isKept ? SAVED : NOT_KEPT], pick: null });
  }

  /** Take back what was saved; what was typed stays, for another record. */
  async function takeBack() {
    const record = on.current().own.find(({ id }) => id === state.draft.id);
    const isKept = await on.outbox.add(undoRecord(on.current(), record, on.stamp()));
    put({ ...state.draft, id: on.stamp().id }, { told: [isKept ? TAKEN_BACK : NOT_KEPT] });
  }

  function show() {
    kept.follow();
    view.node.hidden = !kept.isRead();
    if (!kept.isRead() || state.draft === null) return;
    const leftOut = near().filter((peg) => !isInPlace(peg)).map(({ id, state: now }) => `${id} is left out: it is ${now}.`);
    view.show(movedModel(on.current(), { ...state, ...workOut(), leftOut }));
  }

  return {
    title: 'Has a peg moved?', label: 'Has a peg moved?',
    words: () => movedRowWords(on.current()),
    node: view.node, show, notices: kept.notices,
    open: () => { state = { ...state, told: [], pick: null }; },
  };
}
