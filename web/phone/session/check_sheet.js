// What the sheet of the yardage check says.

import { isAgain } from './check_again.js';
import { checkHere, whyNoCheck } from './check_here.js';
import { EDGES, SIDES } from './check_plan.js';
import { lastOwnCheck } from './check_records.js';
import { checkFacts, checkFigure, checkRange, checkSign, partsWords, REASONS } from './check_words.js';
import { clockWords } from './clock_words.js';
import { holdButtonOf, holdingRemarks } from './holding_words.js';
import { bunkerOf, teeOf } from './job.js';
import { troubleWords } from './wording.js';

const FIGURES = { reach: 'front edge', carry: 'far edge', along: 'middle, along the play', offset: 'middle, to the side' };

/** The figure that is checked for an edge and, of the middle, a side. */
export const figureOf = ({ edge, side }) => (edge === 'middle' ? side : edge);

/**
 * The model of the sheet; `chosen` is {edge, side}, `told` what became of the last press, in lines, `isStored` whether
 * every record is on the phone's storage.
 */
export function checkSheetModel(job, aim, chosen, told, isStored) {
  const figure = figureOf(chosen);
  const why = whyNoCheck(job, aim, figure);
  const canMeasure = why === null || (why === 'old position' && job.place !== null);
  const check = canMeasure ? checkHere(job, figure) : null;
  const { bundle, yardageUnit: unit } = job;
  return {
    bunker: `${bunkerOf(job).name}, revision ${bunkerOf(job).revision}`,
    tees: bundle.hole.tees.map(({ id, name }) => [id, name]), tee: job.teeId,
    edges: EDGES, edge: chosen.edge,
    sides: chosen.edge === 'middle' ? SIDES : [], side: chosen.side,
    figure: check && checkFigure(check, unit),
    range: check === null ? '' : checkRange(check, unit),
    lines: [...holdingRemarks(job, aim.at), ...(job.practice === null ? [] : [`Practice puts you at the ${FIGURES[figure].split(',')[0]} as drawn.`])],
    sign: check === null || why !== null ? noSign(job, aim, why) : checkSign(check, job),
    facts: check === null ? [] : checkFacts(check, job, teeOf(job).name),
    parts: check === null ? '' : partsWords(check, job),
    hold: holdButtonOf(job, aim.at),
    save: saveButtonOf(job, aim, figure, isStored),
    told,
    undo: undoWords(job),
  };
}

function noSign(job, aim, why) {
  const detail = why === 'no position' ? troubleWords(job.trouble)
    : why === 'old position' ? `No new position for ${aim.staleS} s. The figures above are old.` : REASONS[why];
  return { kind: 'cannot tell', title: why === 'no position' ? 'No position' : 'Cannot tell', detail, turnDeg: 0 };
}

/** The button that saves; while what it would save is in the record already it says so, and what would make it a new check. */
export function saveButtonOf(job, aim, figure, isStored) {
  const why = whyNoCheck(job, aim, figure);
  const button = { label: 'Save check', note: why === null ? '' : REASONS[why], action: 'mark', holdWords: 'Hold to save it', able: why === null };
  if (why !== null || !isAgain(job, figure)) return button;
  return { ...button, label: isStored ? 'Saved' : 'Not stored', note: 'move, or hold still 10 s more', able: false };
}

function undoWords(job) {
  const last = lastOwnCheck(job);
  return last === null ? null : `Take back: ${recordWords(job, last)}`;
}

/** A check of the record in words: '4 right, front edge, 259.09 yd, 21:14'. */
export function recordWords({ bundle, yardageUnit }, { target, made_at: at, measured_m: measuredM, range95_m: rangeM }) {
  const bunker = bundle.bunkers.find(({ id }) => id === target.bunker)?.name ?? target.bunker;
  const figure = checkFigure({ figure: target.figure, measuredM, rangeM }, yardageUnit).join(' ');
  return `${bunker}, ${FIGURES[target.figure]}, ${figure}, ${clockWords(at)}`;
}

/** What is said once a check is stored, or was not. */
export function savedWords(job, check, isKept) {
  if (!isKept) return ['Not stored: see the notice on the page.'];
  const [value, sign] = checkFigure(check, job.yardageUnit);
  return [`${job.practice === null ? 'Saved on this phone' : 'Saved on this phone as practice'}: ${FIGURES[check.figure]}, ${value} ${sign}, ${check.verdict}.`];
}
