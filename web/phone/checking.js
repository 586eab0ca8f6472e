// The yardage check at work: choosing tee and edge, saving what was measured, and taking it back.

import { checkHere } from './session/check_here.js';
import { drawnPlace } from './session/check_plan.js';
import { isStanding, lastOwnCheck } from './session/check_records.js';
import { checkSheetModel, figureOf, recordWords, saveButtonOf, savedWords } from './session/check_sheet.js';
import { settleWords } from './session/check_words.js';
import { teeOf } from './session/job.js';
import { undoRecord, yardageRecord } from './session/record.js';
import { yardageModel } from './session/sheets.js';

/**
 * {on, show(aim)}: what the sheets of the yardage call, and showing them. `current()` and `change(job)` are the job in
 * hand, `aimNow()` its aim, `stamp()` a new {id, at}, `page()` the view, `receiving` the receiver in use.
 */
export function createChecking({ outbox, current, change, aimNow, stamp, page, receiving }) {
  let chosen = { edge: 'reach', side: 'along' };
  let told = [];
  let busy = false;

  const isStored = () => outbox.state().unkept === 0;

  const show = (aim) => {
    const { yardageSheet, checkSheet } = page();
    if (yardageSheet.isOpen()) yardageSheet.show(yardageModel(current(), aim));
    if (checkSheet.isOpen()) checkSheet.show(checkSheetModel(current(), aim, chosen, told, isStored()));
  };

  /** A practice receiver stands where the chosen edge is drawn, since nobody can walk there. */
  const stand = () => teeOf(current()) !== null && receiving.visit(drawnPlace(current(), figureOf(chosen)));

  const choose = (choice) => {
    chosen = { ...chosen, ...choice };
    told = [];
    stand();
    show(aimNow());
  };

  /** Do a piece of work on the record, and no other meanwhile. */
  const alone = async (work) => {
    busy = true;
    try {
      return await work();
    } finally {
      busy = false;
    }
  };

  const save = async () => {
    const [job, aim] = [current(), aimNow()];
    if (busy || !saveButtonOf(job, aim, figureOf(chosen), isStored()).able) return;
    const { save: button } = page().checkSheet;
    const check = checkHere(job, figureOf(chosen));
    button.wait('Save check', 'storing');
    let isKept = false;
    try {
      isKept = await alone(() => outbox.add(yardageRecord(job, check, settleWords(check, job), stamp())));
    } finally {
      button.rest(isKept ? 'Saved' : 'Not stored', isKept ? 'on this phone' : 'see below');
    }
    told = savedWords(job, check, isKept);
    change(current());
  };

  /** Another tab of this phone may have taken it back: what is stored is read again first. */
  const undo = async () => {
    const last = lastOwnCheck(current());
    if (busy || last === null) return;
    await alone(async () => {
      await outbox.read();
      const stands = isStanding(current(), last);
      if (stands) await outbox.add(undoRecord(current(), last, stamp()));
      told = [`${stands ? 'Taken back' : 'Already taken back, in another tab'}: ${recordWords(current(), last)}. Both stay in the record.`];
    });
    change(current());
  };

  return {
    show,
    on: {
      yardage: () => { page().yardageSheet.open(); show(aimNow()); },
      check: () => { told = []; stand(); page().checkSheet.open(); show(aimNow()); },
      leaveCheck: () => receiving.goBack(),
      tee: (teeId) => { change({ ...current(), teeId }); if (page().checkSheet.isOpen()) choose({}); },
      unit: (yardageUnit) => change({ ...current(), yardageUnit }),
      edge: (edge) => choose({ edge }), side: (side) => choose({ side }),
      saveCheck: save, undoCheck: undo,
    },
  };
}
