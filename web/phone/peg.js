// One peg at work: the way to it, and reports of it.

import { farOffWords, pegPage, reportedWords } from './session/peg_page.js';
import { lastOwnReport } from './session/peg_report.js';
import { noteOf } from './session/peg_words.js';
import { undoRecord } from './session/record.js';
import { createPegScreen } from './view/peg_screen.js';
import { createReporting } from './reporting.js';

/** The screen; `on` is what the page gives it. */
export function createPegPage(on) {
  let [pegId, said, doubted, isBusy] = [null, '', null, false];
  const view = createPegScreen({
    onReport: (state) => report(state),
    onDriven: () => on.go('newpeg', pegId),
    onSetAgain: () => on.go('reset', pegId),
    onUndo: () => undo(),
    onNote: (words) => reporting.setNote(words), onFile: (file) => reporting.addFile(file), onRemove: (id) => reporting.remove(id),
  });
  const reporting = createReporting(on, () => view.part);

  const pegNow = () => on.pegs().find(({ id }) => id === pegId) ?? null;

  const say = (words) => {
    said = words;
    on.refresh();
  };

  /** Report what was found; one that the receiver puts far off is asked about once more. */
  const report = (state) => {
    const doubt = state === 'missing' || doubted === state ? null : farOffWords(on.current(), pegNow());
    doubted = doubt === null ? null : state;
    return doubt === null ? alone(() => keepReport(state)) : say(doubt);
  };

  const keepReport = async (state) => {
    const { isKept, photos } = await reporting.save({ peg: pegId, kind: pegNow().kind, state });
    say(reportedWords({ state, photos, practice: on.current().practice !== null }, isKept));
  };

  const undo = () => alone(async () => {
    await on.outbox.read();
    const last = lastOwnReport(on.current(), pegId);
    if (last !== null) await on.outbox.add(undoRecord(on.current(), last, on.stamp()));
    say('Taken back. Both stay in the record.');
  });

  const alone = async (work) => {
    if (isBusy) return;
    isBusy = true;
    on.refresh();
    await work().finally(() => { isBusy = false; on.refresh(); });
  };

  const show = () => {
    const peg = pegNow();
    if (peg === null) return on.go('board');
    on.receiving.leadTo(peg);
    const model = pegPage(on.current(), peg, Date.now());
    const known = peg.photos.map((id, i) => ({ id, picture: on.pictures.of(id), words: `Photo ${i + 1}` })).filter(({ picture }) => picture !== null);
    return view.show({ ...model, ...reporting.model(), known, said, isBusy, canSetAgain: model.isLost && on.has('reset') });
  };

  return {
    get title() { return `Peg ${pegId}`; },
    node: view.node, show,
    open: (id) => {
      [pegId, said, doubted] = [id ?? null, '', null];
      const peg = pegNow();
      if (peg === null) return;
      reporting.open(pegId, noteOf({ ...peg, note: '' }));
      on.pictures.find(peg.photos);
    },
  };
}
