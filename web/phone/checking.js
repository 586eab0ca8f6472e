// The yardage check at work: choosing tee and edge, saving what was measured, and taking it back.

import { checkHere, whyNoCheck } from './session/check_here.js';
import { drawnPlace } from './session/check_plan.js';
import { lastOwnCheck } from './session/check_records.js';
import { checkSheetModel, figureOf, savedWords } from './session/check_sheet.js';
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

  const show = (aim) => {
    const { yardageSheet, checkSheet } = page();
    if (yardageSheet.isOpen()) yardageSheet.show(yardageModel(current(), aim));
    if (checkSheet.isOpen()) checkSheet.show(checkSheetModel(current(), aim, chosen, told));
  };

  /** A practice receiver stands where the chosen edge is drawn, since nobody can walk there. */
  const stand = () => teeOf(current()) !== null && receiving.visit(drawnPlace(current(), figureOf(chosen)));

  const choose = (choice) => {
    chosen = { ...chosen, ...choice };
    told = [];
    stand();
    show(aimNow());
  };

  /** Add a record, and take no other meanwhile; true when it is stored. */
  const add = async (record) => {
    busy = true;
    try {
      return await outbox.add(record);
    } finally {
      busy = false;
    }
  };

  const save = async () => {
    const [job, aim] = [current(), aimNow()];
    if (busy || whyNoCheck(job, aim, figureOf(chosen)) !== null) return;
    const { save: button } = page().checkSheet;
    const check = checkHere(job, figureOf(chosen));
    button.wait('Save check', 'storing');
    let isKept = false;
    try {
      isKept = await add(yardageRecord(job, check, settleWords(check, job), stamp()));
    } finally {
      button.rest('Save check', isKept ? 'saved on this phone' : 'not stored');
    }
    told = savedWords(job, check, isKept);
    change(current());
  };

  const undo = async () => {
    const last = lastOwnCheck(current());
    if (busy || last === null) return;
    await add(undoRecord(current(), last, stamp()));
    told = ['Taken back. Both stay in the record.'];
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
