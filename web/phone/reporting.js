// A report of a peg in the making: its note and its photos, kept on the phone as they come, so that a killed page loses none.

import { PictureFault, readPicture } from './device/photo.js';
import { photoFaultWords } from './session/photo_words.js';
import { pegRecord } from './session/record.js';

const MOST_PHOTOS = 6;

/**
 * The draft of one screen, `on` being what the page gives it. `part()` is the view of note and photos. {open(peg id, note),
 * setNote, addFile, remove, model(), save(report)}
 */
export function createReporting(on, part) {
  const { keep, photos, pictures, stamp, refresh } = on;
  let [key, draft, told, turn] = [null, empty(''), '', 0];
  let isRead = false;
  let [work, opening] = [Promise.resolve(), Promise.resolve()];

  /** What was not read is not written over. */
  const store = () => (isRead ? keep.set(key, draft).catch(() => {}) : undefined);

  /** Begin, or go on with what was kept of it, once the photos of the peg before are with theirs. */
  const open = (pegId, note) => {
    [key, draft, told, turn, isRead] = [`peg draft ${on.addresses.site} ${pegId}`, empty(note), '', turn + 1, false];
    part().setNote(note);
    opening = readKept(note, turn);
    return opening;
  };

  const readKept = async (note, mine) => {
    await work.catch(() => {});
    if (mine !== turn) return;
    const read = await keep.get(key).then((kept) => ({ kept }), () => null);
    if (mine !== turn || read === null) return;
    isRead = true;
    goOn(read.kept, note);
  };

  /** What was typed and taken since the screen was opened counts besides what was kept. */
  const goOn = (kept, note) => {
    if (!kept) return void (isTouched(note) && store());
    const isTyped = draft.note !== note;
    draft = { note: isTyped ? draft.note : kept.note, photos: [...new Set(kept.photos.concat(draft.photos))] };
    if (isTyped || draft.photos.length > kept.photos.length) store();
    part().setNote(draft.note);
    pictures.find(draft.photos);
    refresh();
  };

  const isTouched = (note) => draft.note !== note || draft.photos.length > 0;

  const setNote = (note) => {
    draft = { ...draft, note };
    store();
  };

  const say = (words) => {
    told = words;
    refresh();
  };

  const take = async (file, to) => {
    if (to.turn === turn && draft.photos.length >= MOST_PHOTOS) return photoFaultWords('too many');
    const { bytes, small } = await readPicture(file);
    const { id } = stamp();
    if (!await photos.hold(id, bytes)) return photoFaultWords('no room');
    await Promise.all([to.turn === turn ? addHere(id) : addThere(id, to), pictures.hold(id, small)]);
    return '';
  };

  const addHere = (id) => {
    draft = { ...draft, photos: draft.photos.concat([id]) };
    return store();
  };

  /** The screen was left meanwhile: the photo goes to what is kept of the peg it was taken of. */
  const addThere = async (id, to) => {
    const kept = await keep.get(to.key) ?? to.draft;
    if (kept.photos.length >= MOST_PHOTOS) await photos.drop(id);
    else await keep.set(to.key, { ...kept, photos: kept.photos.concat([id]) });
  };

  const addFile = (file) => {
    const to = { key, turn, draft };
    say('Reading the picture …');
    work = work.catch(() => {}).then(() => take(file, to)).catch((fault) => {
      if (!(fault instanceof PictureFault)) throw fault;
      return photoFaultWords(fault.why, fault.bytes);
    }).then((words) => to.turn === turn && say(words));
    return work;
  };

  const remove = (id) => {
    draft = { ...draft, photos: draft.photos.filter((one) => one !== id) };
    store();
    photos.drop(id);
    refresh();
  };

  /** Keep the report, with what was drafted; whether it is on the phone's storage. Its photos go once it is made. */
  const save = async (report) => {
    const to = { key, turn, draft };
    await Promise.all([work.catch(() => {}), opening]);
    const { photos: ids, note } = await draftOf(to);
    await photos.name(ids);
    const isKept = await on.outbox.add(pegRecord(on.current(), { ...report, note: note.trim(), photos: ids }, stamp()));
    if (isKept && (isRead || to.turn !== turn)) await keep.remove('kept', [to.key]).catch(() => {});
    if (to.turn === turn) [draft, told] = [empty(note), ''];
    return { isKept, photos: ids.length };
  };

  /** What was drafted of a report, though the screen may have been left since. */
  const draftOf = async (to) => (to.turn === turn ? { ...draft, note: part().note() } : await keep.get(to.key).catch(() => null) ?? to.draft);

  const model = () => ({
    photos: draft.photos.map((id, i) => ({ id, picture: pictures.of(id), words: `Photo ${i + 1}, to go with the report` })), draftTold: told,
  });

  return { open, setNote, addFile, remove, save, model };
}

const empty = (note) => ({ note, photos: [] });
