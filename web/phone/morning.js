// The screen of the morning check: a guided sequence whose draft is kept on the phone with every change.

import { createDraftKeep } from './device/draft_keep.js';
import { bunkerPegs } from './session/bunker_pegs.js';
import { bunkerOf } from './session/job.js';
import * as drafts from './session/morning_draft.js';
import { checkInOf, morningRowWords, overviewModel, pegsModel, tapeModel } from './session/morning_model.js';
import { morningState } from './session/morning_records.js';
import { leftToAdd, movedByTapes, namedIds, recordsOfMorning } from './session/morning_saving.js';
import { linesToTape, pointsInTies, tapesSay } from './session/morning_tapes.js';
import { morningVerdict } from './session/morning_verdict.js';
import { pegRecord, undoRecord } from './session/record.js';
import { isInPlace } from './session/standing_pegs.js';
import { createMorningScreen } from './view/morning_screen.js';

const OLD = 'A check from before was not saved. This is a new one.';
const NOT_KEPT = 'This phone stores nothing now: keep this page open until all is sent.';

const NOT_DONE = 'That did not work, and the check is not saved. Try it once more; if it fails again, write it down and tell whoever keeps this program.';

const NOT_YET = { finding: null, lines: [], faults: [] };

/** The screen; `on` is what the page of pegs and tape gives each. */
export function createMorning(on) {
  const kept = createDraftKeep({ keep: on.keep, keyOf: () => drafts.morningKey(on.current()), read: drafts.morningFrom, onRead: take });
  let state = { draft: null, told: [], pick: null };
  let part = 'steps';
  let [worked, busy] = [{ key: null, out: null }, false];

  const view = createMorningScreen({
    onAct: act, onDone: () => on.go('morning'),
    onTyped: (i, text) => put(drafts.withTyped(state.draft, i, text)),
    onDrop: (i) => put(drafts.withoutLine(state.draft, i)),
    onWanted: () => addLine(...workOut().said.finding.wanted),
    onPick: (changes) => set({ pick: { one: null, other: null, ...state.pick, ...changes }, told: [] }),
    onAddPicked: () => (state.pick.one && state.pick.other ? addLine(state.pick.one, state.pick.other) : set({ told: ['Choose the two pegs first.'] })),
    onFound: found,
  });

  function set(changes) {
    state = { ...state, ...changes };
    on.refresh();
  }

  function put(draft, more = {}) {
    const isKept = kept.write(draft);
    set({ draft, told: [], ...more });
    return isKept;
  }

  const pegs = () => bunkerPegs(on.current(), on.pegs()).filter((peg) => peg.state !== 'planned');
  const inPlace = () => pegs().filter(isInPlace);

  function fresh(at) {
    const ids = { morning: on.stamp().id, taped: on.stamp().id };
    return drafts.newMorning(on.current(), ids, linesToTape(on.current(), inPlace()), at);
  }

  /** What was kept; a check of another day, or one that was taken back, goes on as another one. One that was being saved is saved. */
  function take(draft) {
    const { at } = on.stamp();
    const old = draft !== null && drafts.isOld(draft, at);
    const isUnsaved = old && drafts.isMorningBegun(draft) && morningState(on.current(), draft) === 'open';
    const left = draft === null ? [] : leftToAdd(on.current(), draft);
    set({ draft: draft === null || old ? fresh(at) : goneOn(draft), told: isUnsaved && left.length === 0 ? [OLD] : [], pick: null });
    left.forEach((record) => on.outbox.add(record));
  }

  const goneOn = (draft) => (morningState(on.current(), draft) === 'taken back' ? renewed(draft) : draft);

  const renewed = ({ saved, making, ...draft }) => ({ ...draft, ids: { morning: on.stamp().id, taped: on.stamp().id }, named: {} });

  function addLine(one, other) {
    const { draft, fault } = drafts.withLine(state.draft, one, other);
    return fault ? set({ told: [fault] }) : put(draft, { pick: null });
  }

  /** While distances are typed and some are still to come, nothing is made of them: that takes its time with many pegs. */
  const isTyping = () => part === 'tape' && state.draft.lines.some(({ typed }) => typed === '');

  /** What all that is known comes to; worked out again only when something changed. */
  function workOut() {
    const [job, { draft }] = [on.current(), state];
    const [all, net] = [pegs(), inPlace()];
    const key = JSON.stringify([isTyping(), draft.lines, draft.states, net.map(({ id, x, y, withinM }) => [id, x, y, withinM]), all.map(({ id }) => id)]);
    if (worked.key === key) return worked.out;
    const unit = job.bundle.site.units.ground;
    const typed = drafts.typedLines(draft, unit);
    const said = isTyping() ? NOT_YET : tapesSay(job, net, typed.lines);
    const states = Object.fromEntries(Object.entries(draft.states).map(([peg, { state: one }]) => [peg, one]));
    const faults = [...typed.faults.filter(Boolean), ...said.faults];
    const result = morningVerdict({ faults, pegs: all.map(({ id }) => id), states, finding: said.finding, unit, before: all.filter((peg) => !isInPlace(peg)).map(({ id }) => id) });
    const left = net.filter(({ id }) => !result.reset.includes(id));
    const ties = result.verdict === 're-set' ? pointsInTies(job, bunkerOf(job), left) : null;
    worked = { key, out: { said, faults: typed.faults, unusable: faults, found: result, ties, all, net } };
    return worked.out;
  }

  function act(name) {
    if (name === 'check-in') return on.receiving.checkIn.open();
    if (name === 'leave out') return put({ ...state.draft, isCheckInLeftOut: true });
    if (name === 'save') return alone(save);
    if (name === 'undo') return alone(undo);
    if (name === 'anew') return put(fresh(on.stamp().at));
    return on.go('morning', name);
  }

  async function alone(work) {
    if (busy) return;
    busy = true;
    try {
      await work();
    } catch (fault) {
      set({ told: [NOT_DONE] });
      throw fault;
    } finally {
      busy = false;
    }
  }

  /** What was found of a peg; the same once more takes it back. */
  function found(peg, one) {
    return alone(async () => {
      const before = state.draft.states[peg];
      const { id, kind } = pegs().find((other) => other.id === peg);
      const stamp = on.stamp();
      put(drafts.withState(state.draft, peg, before?.state === one ? null : { state: one, id: stamp.id }));
      const isKept = await on.outbox.add(before?.state === one
        ? undoRecord(on.current(), { id: before.id, device: on.current().device }, stamp)
        : pegRecord(on.current(), { peg: id, kind, state: one }, stamp));
      if (!isKept) set({ told: [NOT_KEPT] });
    });
  }

  /** The distances, the pegs that they name as moved, and the check: each is kept in the draft before it is added. */
  async function save() {
    const [job, { said, found: result, net, ties, unusable }] = [on.current(), workOut()];
    if (unusable.length > 0) return set({ told: unusable });
    const { at } = on.stamp();
    const named = namedIds(state.draft.named, movedByTapes(said.finding, state.draft.states), () => on.stamp().id);
    const draft = { ...state.draft, named };
    const checkIn = checkInOf(job, draft, at)?.id ?? null;
    const making = recordsOfMorning(job, draft, { pegs: net, said, found: result, checkIn }, at);
    await put({ ...draft, saved: { found: result, said, ties }, making });
    const areKept = [];
    for (const record of making) areKept.push(await on.outbox.add(record));
    if (!areKept.every(Boolean)) return set({ told: [NOT_KEPT] });
    return put({ ...state.draft, making: [] });
  }

  /** Take the check back, and what was recorded with it; what was seen of the pegs stays. */
  async function undo() {
    const job = on.current();
    const { ids, named = {} } = state.draft;
    const gone = job.own.filter(({ id }) => [ids.morning, ids.taped, ...Object.values(named)].includes(id));
    for (const record of gone) await on.outbox.add(undoRecord(on.current(), record, on.stamp()));
    put(renewed(state.draft));
  }

  /** A saved check shows what was saved, whatever is found of the pegs since. */
  function shown() {
    const now = workOut();
    const { saved } = state.draft;
    return saved && morningState(on.current(), state.draft) === 'saved' ? { ...now, ...saved } : now;
  }

  /** A practice receiver is led to the first peg that is still to be seen. */
  function seePegs(job, draft, all) {
    const next = all.find(({ id }) => draft.states[id] === undefined);
    if (next) on.receiving.leadTo(next);
    view.show('pegs', pegsModel(job, { draft, pegs: all }));
  }

  function show() {
    kept.follow();
    view.node.hidden = !kept.isRead();
    if (!kept.isRead() || state.draft === null) return;
    const [job, { draft, told, pick }, { said, faults, unusable, found: result, ties, all, net }] = [on.current(), { ...state, told: kept.isFailing() ? [NOT_KEPT] : state.told }, shown()];
    const checkIn = checkInOf(job, draft, on.stamp().at);
    const now = morningState(job, draft) === 'saved' ? 'steps' : part;
    if (now === 'tape') view.show(now, tapeModel(job, { draft, told, said, faults, pick, netPegs: net }));
    else if (now === 'pegs') seePegs(job, draft, all);
    else view.show(now, overviewModel(job, { draft, told, checkIn, said, found: result, pegs: all, ties, unusable }));
  }

  return {
    title: 'Morning check', label: 'Morning check',
    words: () => { kept.follow(); return morningRowWords(on.current(), pegs(), on.stamp().at); },
    node: view.node, show, notices: kept.notices,
    open: (arg) => { part = ['tape', 'pegs'].includes(arg) ? arg : 'steps'; state = { ...state, told: [], pick: null }; },
  };
}
