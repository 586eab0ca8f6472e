// What the screens of capturing a line show: choosing how, measuring by tape, walking, and looking at it before it is saved.

import { bunkerPegs } from './bunker_pegs.js';
import { isBegun, isWalk, nextNumber } from './capture_draft.js';
import { doubtsOf } from './capture_doubts.js';
import { draftState } from './capture_record.js';
import { isRound, walkedM, walkTrouble } from './capture_walk.js';
import { captureFacts, countWords, outlineWords, pointWords, tooFewWords, truthOf } from './capture_words.js';
import { savedWords } from './fault_words.js';
import { bunkerOf } from './job.js';
import { groundWords, radiusWords } from './lengths.js';
import { isInPlace } from './standing_pegs.js';
import { tapeSign } from './tape_words.js';

const SQUARE = { metre: 'By eye it easily errs a degree: 9 cm at 5 m off.', foot: 'By eye it easily errs a degree: 4 in at 20 ft off.' };
const WAYS = [['line', 'String line'], ['ties', 'Two tapes'], ['reading', 'Where I stand']];

/** What the row on the first screen says. */
export function captureRowWords(job, draft) {
  if (draft === null || !isBegun(draft) || draftState(job, draft) !== 'open') return 'So that it can be brought back when the paint is gone';
  return `${countWords(draft)} of the ${outlineWords(job, draft.outline)} so far, kept on this phone`;
}

/** The choice of outline and method, or what to do with the draft there is; `isSure` after 'Begin anew' was pressed once. */
export function chooseModel(job, { draft, outlineId, isSure, told = [] }, pegs) {
  const { outlines } = bunkerOf(job);
  const state = draft === null || !isBegun(draft) ? 'none' : draftState(job, draft);
  const few = bunkerPegs(job, pegs).filter(isInPlace).length < 2;
  return {
    told: [...(state === 'saved' ? savedLines(job, draft) : []), ...told],
    undo: state === 'saved' ? 'Take it back and go on with it' : null,
    outlines: outlines.length > 1 && state !== 'open' ? outlines.map(({ id }) => [id, outlineWords(job, id)]) : [],
    outline: outlineId,
    rows: state === 'open' ? openRows(job, draft, isSure) : methodRows(job, few),
  };
}

function savedLines(job, draft) {
  const what = `${outlineWords(job, draft.outline)}, ${countWords(draft)}`;
  if (job.practice !== null) return [`${savedWords(job)} It was the ${what}.`];
  const next = doubtsOf(job, draft).length === 0
    ? 'Somebody who may plan looks at it on the site page and confirms it; until then the plan stays as it is.'
    : 'As it is, it is not likely to be confirmed: take it back and mend it. The plan stays as it is.';
  return [`Saved: ${what}. ${next}`];
}

const openRows = (job, draft, isSure) => [
  { name: 'go on', label: `Go on with the ${outlineWords(job, draft.outline)}`, words: `${countWords(draft)} so far`, weight: 'first' },
  { name: 'look', label: 'Look at it and save it', words: tooFewWords(draft) ?? 'See it over the drawn line first' },
  isSure
    ? { name: 'anew', label: `Throw ${countWords(draft)} away?`, words: 'Press again to begin anew. They are not saved anywhere.', state: 'bad' }
    : { name: 'anew', label: 'Begin anew', words: 'Throws away what was measured so far' },
];

function methodRows(job, few) {
  const taped = few ? 'Needs two pegs in place near this bunker' : null;
  const { place } = job;
  const now = place !== null && place.awayM === null && place.radius95M !== null ? `, now ± ${radiusWords(place.radius95M, job.bundle.site.units.ground)}` : '';
  return [
    { name: 'line', label: 'From a string line', words: taped ?? 'String between two pegs: how far along, how far square off it', weight: 'first', able: !few },
    { name: 'ties', label: 'With two tapes', words: taped ?? 'How far from two pegs at once; needs no right angle', able: !few },
    { name: 'walk', label: 'Walk the line', words: `By this phone's position${now}. Tapes are better.`, able: true },
  ];
}

/** Measuring by tape: what is chosen and typed, what the last press was answered, what to press next. */
export function measureModel(job, { draft, told, doubt, isChoosing }, pegs) {
  const { entry } = draft;
  const near = bunkerPegs(job, pegs);
  const out = near.filter((peg) => !isInPlace(peg));
  const isOpen = isChoosing || !draft.points.some(({ by }) => by === entry.by);
  return {
    ways: WAYS, way: entry.by,
    pegs: near.filter(isInPlace).map(({ id }) => [id, id]),
    ends: entry.by !== 'reading' && isOpen ? endsOf(entry) : [],
    change: entry.by !== 'reading' && !isOpen ? changeWords(entry) : null,
    fields: entry.by === 'reading' ? [] : fieldsOf(entry, job.bundle.site.units.ground),
    sides: entry.by === 'reading' ? null : { label: `Looking from ${entry.pegs[0]} to ${entry.pegs[1]}, it lies`, chosen: entry.side },
    here: howWords(job, entry.by),
    leftOut: out.length === 0 ? null : `Left out: ${out.map(({ id, state }) => `${id} (${state})`).join(', ')}.`,
    told,
    add: { label: doubt === null ? `Add point ${nextNumber(draft)}` : `Add ${nextNumber(draft)} all the same`, isAsking: doubt !== null },
    back: nextNumber(draft) === 1 ? null : `Take away point ${nextNumber(draft) - 1}`,
    look: draft.points.length === 0 ? null : `Look at ${draft.points.length} and save`,
  };
}

const endsOf = ({ by, pegs }) => (by === 'line' ? ['String from peg', 'to peg'] : ['First tape on', 'Second tape on']).map((label, i) => ({ label, chosen: pegs[i] }));

const changeWords = ({ by, pegs: [one, other] }) => (by === 'line' ? `String from ${one} to ${other}: change` : `Tapes on ${one} and ${other}: change`);

function fieldsOf({ by, pegs, first, second }, unit) {
  const names = by === 'line' ? [`Along from ${pegs[0]}`, 'Square off it'] : pegs.map((id) => `From ${id}`);
  return names.map((label, i) => ({ label: `${label}, ${tapeSign(unit)}`, value: [first, second][i] }));
}

/** How to hold the tapes, which are reckoned as level here, or how well the place is known where the phone stands. */
function howWords(job, by) {
  if (by === 'reading') return hereWords(job);
  return by === 'ties' ? 'Hold both tapes level, also on a slope.' : `Hold the tapes level. Set the square out by 3-4-5. ${SQUARE[job.bundle.site.units.ground]}`;
}

function hereWords(job) {
  if (job.place === null || job.place.awayM !== null) return walkTrouble(job);
  const { radius95M } = job.place;
  return radius95M === null ? 'This receiver gives no accuracy figure.' : `Stand on the line. The point will be within ${radiusWords(radius95M, job.bundle.site.units.ground)} (95 %); a tape does better.`;
}

/** What the fields mean, for a sentence about what was typed. */
export const fieldNames = ({ by, pegs }) => (by === 'line' ? [`how far along from ${pegs[0]}`, 'how far off the string'] : pegs.map((id) => `the distance from ${id}`));

/** The walk: how far it has come, how true it is, and what to press. */
export function walkModel(job, { draft, isWalking }) {
  const unit = job.bundle.site.units.ground;
  const { ground_scale: scale } = job.bundle.frame;
  const trouble = walkTrouble(job, draft);
  const { lengthM, fromBeginM } = walkedM(draft, scale);
  const radius = job.place?.radius95M ?? null;
  const lines = draft.fixes.length < 2
    ? ['Stand on the sprayed line, start, and walk along it, phone held the same way all round.']
    : [`${groundWords(lengthM, unit, radius)} walked, ${groundWords(fromBeginM, unit, radius)} from where you began.`];
  if (isWalking && isRound(draft, scale)) lines.push('You are back where you began, as far as this receiver can tell. Stop, or walk another round.');
  return {
    figure: [String(draft.fixes.length), draft.fixes.length === 1 ? 'position' : 'positions'],
    lines: trouble === null ? lines : [...lines, trouble],
    truth: draft.fixes.length === 0 ? null : truthOf(draft, unit),
    go: { label: isWalking ? 'Stop' : draft.fixes.length === 0 ? 'Start walking' : 'Walk on', isOn: isWalking },
    look: isWalking || draft.fixes.length === 0 ? null : 'Look and save',
  };
}

/** The line as it was measured, before it is saved; `chosen` the number of a point or null; `isSure` after saving a doubtful one was pressed once. */
export function lookModel(job, { draft, chosen, isSaving, isSure }) {
  const unit = job.bundle.site.units.ground;
  const few = tooFewWords(draft);
  const doubts = doubtsOf(job, draft);
  const isAsking = doubts.length > 0 && isSure;
  const remarks = [few, ...doubts, olderWords(job, draft)].filter(Boolean);
  return {
    truth: truthOf(draft, unit), facts: captureFacts(job, draft), remarks,
    curve: isWalk(draft) ? null : draft.curve,
    points: isWalk(draft) ? [] : draft.points.map((point, i) => ({ number: i + 1, words: pointWords(point, unit), isChosen: i + 1 === chosen })),
    acts: chosen === null ? null : { takeOut: `Take out point ${chosen}`, after: `Next one after ${chosen}` },
    save: {
      label: isAsking ? 'Save it all the same' : 'Save this line', isAsking, able: few === null && !isSaving,
      note: isAsking ? 'it is not likely to be confirmed' : `${outlineWords(job, draft.outline)}, ${countWords(draft)}`,
    },
  };
}

function olderWords(job, draft) {
  const { revision } = bunkerOf(job);
  return revision === draft.revision ? null : `It was measured over revision ${draft.revision}; the plan is revision ${revision} now.`;
}
