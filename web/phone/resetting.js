// The screen that sets a lost peg again, or a planned one for the first time, from ties to the others.

import { undoRecord } from './session/record.js';
import { lastReset, lostRows, resetModel } from './session/reset_model.js';
import { resetRecord } from './session/reset_record.js';
import { createResetPage } from './view/reset_page.js';

/** The screen; `on` is what pegs.js gives every screen. The lost peg is in the address, so that Back leads to the choice. */
export function createResetting(on) {
  const nothing = { lost: null, typed: {}, side: null };
  let state = nothing;
  let busy = false;
  const take = (next) => { state = { ...state, ...next }; on.refresh(); };
  const model = () => resetModel(on.current(), on.pegs(), state);

  const add = async (record) => {
    busy = true;
    try {
      return await on.outbox.add(record);
    } finally {
      busy = false;
    }
  };
  const press = async () => {
    if (busy) return;
    const { peg, save } = model();
    if (save.made === null) return;
    page.button.wait(`${peg.id} …`, 'storing');
    let kept = false;
    try {
      kept = await add(resetRecord(on.current(), peg, save.made, on.stamp()));
    } finally {
      page.button.rest(`${peg.id} is set`, kept ? 'stored on this phone' : 'not stored: see above');
    }
    if (kept) history.back();
  };
  const undo = () => {
    const last = lastReset(on.current());
    if (!busy && last !== null) add(undoRecord(on.current(), last, on.stamp()));
  };

  const choice = () => {
    const rows = lostRows(on.current(), on.pegs());
    const last = lastReset(on.current());
    return { rows, words: rows.length === 0 ? 'No peg of the plan is near this bunker.' : 'Which peg is lost, or planned and not driven yet?', undo: last && `Undo: ${last.peg} was set` };
  };

  const page = createResetPage({
    press, undo, lost: (id) => on.go('reset', id), typed: (id, text) => take({ typed: { ...state.typed, [id]: text } }), side: (side) => take({ side }),
  });
  return {
    title: 'Set a lost peg again',
    label: 'Set a lost peg again',
    words: () => 'from distances to the others',
    node: page.node,
    open: (id) => { state = { ...nothing, lost: on.pegs().some((peg) => peg.id === id) ? id : null }; },
    show: () => (state.lost === null ? page.showChoice(choice()) : page.show(model())),
  };
}
