// A new peg at work: where the phone is, by a name of its own.

import { holdButtonOf } from './session/holding_words.js';
import { idFault, NEW_KINDS, newPlace, proposedId } from './session/new_peg.js';
import { reportedWords } from './session/peg_page.js';
import { createNewPeg } from './view/new_peg.js';
import { createReporting } from './reporting.js';

/** The screen; `on` is what the page gives it. Opened with the id of a planned peg, it says where that one was driven. */
export function createNewPegScreen(on) {
  let [fixed, kind, said, isBusy] = [null, 'reference', '', false];
  const view = createNewPeg({
    onId: () => { said = ''; on.refresh(); },
    onKind: (chosen) => { kind = chosen; on.refresh(); },
    onHold: () => on.receiving.hold(),
    onSave: () => save(),
    onNote: (words) => reporting.setNote(words), onFile: (file) => reporting.addFile(file), onRemove: (id) => reporting.remove(id),
  });
  const reporting = createReporting(on, () => view.part);

  const save = async () => {
    const { place } = newPlace(on.current(), Date.now());
    said = idFault(view.id(), on.pegs(), fixed) ?? '';
    if (isBusy || said !== '' || place === null) return on.refresh();
    isBusy = true;
    const { isKept, photos } = await reporting.save({ peg: view.id(), kind, state: 'new', place }).finally(() => { isBusy = false; });
    if (on.current().holding !== null) on.receiving.hold();
    on.told.give(reportedWords({ state: 'new', peg: view.id(), photos, practice: on.current().practice !== null }, isKept));
    return on.back();
  };

  const show = () => {
    const now = Date.now();
    const { place, label, note } = newPlace(on.current(), now);
    view.show({
      kinds: NEW_KINDS, kind, label, note, said, isFixed: fixed !== null,
      hold: holdButtonOf(on.current(), now), canSave: place !== null && !isBusy, ...reporting.model(),
    });
  };

  return {
    get title() { return fixed === null ? 'New peg' : `Peg ${fixed} is driven`; },
    node: view.node, show,
    open: (id) => {
      const planned = on.pegs().find((peg) => peg.id === id) ?? null;
      [fixed, kind, said] = [planned?.id ?? null, planned?.kind ?? 'reference', ''];
      view.setId(fixed ?? proposedId(on.pegs(), on.current().bundle.hole.number));
      reporting.open(fixed ?? 'new', '');
    },
    leave: () => { if (on.current().holding !== null) on.receiving.hold(); },
  };
}
