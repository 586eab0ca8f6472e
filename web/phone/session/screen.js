// Everything the page shows beside the ground, in words and figures: a plain object made from the job and the time.

import { doubtOf } from './aim.js';
import { companyWords, markOfAnother, markOn, paintedAlreadyWords, paintedWords } from './company.js';
import { sendWords } from './fault_words.js';
import { qualityWords } from './fix_quality.js';
import { gridHere } from './grid_here.js';
import { turnDeg } from './guidance.js';
import { headingNow } from './heading.js';
import { holdingRemarks, radiusNote } from './holding_words.js';
import { bunkerOf, calledIn, outlineAfter, outlineOf, paintedOf, teeOf } from './job.js';
import { groundParts, groundWords } from './lengths.js';
import { lastOwnMark } from './standing.js';
import { bearingFigures, isBelowRadius, isVague, lineSide, radiusLine, troubleWords, turnWords, verdictWords, wayLines, withinParts } from './wording.js';
import { yardageLine } from './yardage_check.js';

/** The figures that change with every fix. */
export function figuresOf(job, aim, upDeg) {
  const unit = job.bundle.site.units.ground;
  const tee = teeOf(job);
  const here = aim.place?.awayM === null ? aim.place : null;
  return {
    ...mainFigure(job, aim, unit),
    bearing: hasDirection(aim) ? bearingFigures(aim.way.trueBearingDeg) : '–',
    pointer: pointerOf(job, aim),
    yardage: tee === null ? null : yardageLine(tee, here, job.bundle.frame.ground_scale, job.yardageUnit, gridHere(job).grid95M),
    radius: aim.place === null ? 'no position yet' : radiusLine(aim.place.radius95M, unit, aim.staleS),
    radiusNote: radiusNote(aim),
    remarks: holdingRemarks(job, aim.at),
    verdict: verdictSign(job, aim, unit, upDeg),
  };
}

/** Nearer than the receiver can tell, a bearing would only follow its errors. */
const hasDirection = (aim) => aim.way !== null && !isVague(aim.place.radius95M) && !isBelowRadius(aim.way.distanceM, aim.place.radius95M);

function mainFigure(job, aim, unit) {
  if (aim.place !== null && aim.place.awayM !== null) {
    return { parts: [[(aim.place.awayM / 1000).toFixed(0), 'km']], way: ['You are far from this hole'] };
  }
  if (aim.point === null) {
    const outline = outlineOf(job);
    return { parts: [[String(outline.points.length), 'painted']], way: [`All ${outline.points.length} points of the ${calledIn(bunkerOf(job), outline)} are painted`] };
  }
  if (aim.way === null) return { parts: [['–.–', unit === 'foot' ? 'ft' : 'm']], way: [troubleWords(job.trouble)] };
  const radius = aim.place.radius95M;
  const parts = withinParts(aim.distanceM, unit, radius) ?? groundParts(aim.distanceM, unit, radius);
  if (aim.line === null || isVague(radius)) return { parts, way: wayLines(aim.way, unit, radius) };
  const along = groundWords(aim.line.alongM, unit, radius, 100);
  return { parts, way: [...lineStep(aim, unit), `${along} along, near point ${aim.point.number}`] };
}

/** Inside or outside a closed line; an open one has no such sides, so there the step to take is told, as to a point. */
function lineStep({ line, way, place }, unit) {
  const isZero = isBelowRadius(Math.abs(line.offM), place.radius95M);
  return line.closed ? [lineSide(line.offM, isZero)] : wayLines(way, unit, place.radius95M);
}

/** Which way to turn to the target from where the worker faces, and what tells so; null where nothing does. */
function pointerOf(job, aim) {
  if (aim.way === null || !hasDirection(aim)) return null;
  const heading = headingNow(job, aim.at);
  return heading && { turn: turnWords(turnDeg(aim.way.trueBearingDeg - heading.trueDeg)), words: heading.words };
}

/** kind 'none' without a position, else the verdict; the arrow turns as the screen stands. */
function verdictSign(job, aim, unit, upDeg) {
  if (aim.point === null) return { kind: 'inside', title: 'All painted', detail: 'Tap a point to look at it again.', turnDeg: 0 };
  if (aim.way === null) return noPositionSign(job, aim);
  const what = aim.line === null ? `point ${aim.point.number}` : 'the line';
  const radius95M = aim.place.radius95M;
  const toleranceM = job.bundle.site.tolerance_m;
  const [title, detail] = verdictWords({ verdict: aim.verdict, radius95M, toleranceM, unit, what, staleS: aim.staleS });
  const kind = isVague(radius95M) ? 'cannot tell' : aim.verdict;
  const wrong = aim.staleS === null ? qualityWords(job.watch) : null;
  return { kind, title: aim.isDoubtful || kind !== aim.verdict ? 'Cannot tell' : title, detail: wrong ?? detail, turnDeg: turnDeg(aim.way.courseBearingDeg - upDeg) };
}

function noPositionSign(job, aim) {
  const detail = aim.place === null
    ? 'You can still mark points; the record will say so.'
    : 'Is this the right hole? The position is nowhere near it.';
  return { kind: 'cannot tell', title: aim.place === null ? 'No position' : 'Cannot tell', detail, turnDeg: 0 };
}

/** The head of the page and its progress; `hasSignal` as the last questions to the server went. */
export function headOf(job, outbox, hasSignal = true) {
  const bunker = bunkerOf(job);
  const outline = outlineOf(job);
  const painted = paintedOf(job, bunker.id, outline.id).size;
  return {
    bunker: bunker.name,
    part: `${calledIn(bunker, outline)}, revision ${bunker.revision}`,
    progress: `${painted} of ${outline.points.length}`,
    send: job.practice === null || outbox.waiting + outbox.refused.length > 0 ? sendWords(outbox, hasSignal) : 'practice',
  };
}

/** The large button: {label, note, action 'mark' | 'outline' | 'choose', doubt, asks: words for the second tap or null}. */
export function markButtonOf(job, aim) {
  if (aim.point === null) {
    const after = outlineAfter(job);
    return after === null
      ? { label: 'Choose the next', note: 'every outline of this bunker is painted', action: 'choose' }
      : { label: `Go on: ${calledIn(bunkerOf(job), after)}`, note: `${after.points.length} points`, action: 'outline', outlineId: after.id };
  }
  const { number } = aim.point;
  const [mark, other] = [markOn(job, number), markOfAnother(job, number)];
  return {
    label: `Painted ${number}`, holdWords: `Hold to mark ${number}`, action: 'mark',
    note: mark ? paintedWords(mark) : companyWords(job, number),
    doubt: other ? 'painted by another' : doubtOf(aim), asks: other && paintedAlreadyWords(other),
  };
}

/** What the button asks before it takes a doubtful mark. */
export function doubtWords(aim, unit) {
  const doubt = doubtOf(aim);
  if (doubt === 'no position') return 'No position. Press again if it is painted.';
  if (doubt === 'frozen position') return 'The position does not move. Press again if it is painted.';
  if (doubt === 'old position') return 'The position is old. Press again if it is painted.';
  const far = aim.offM === null ? 'far' : groundWords(aim.offM, unit, aim.place.radius95M);
  return `You are ${far} away. Press again if it is painted.`;
}

/** The label of the undo button. */
export function undoLabel(job) {
  const last = lastOwnMark(job.marks);
  return last === null ? 'Undo' : `Undo ${last.number}`;
}

/** The outlines of the hole to choose from, bunker by bunker. */
export function outlineChoices(job) {
  return job.bundle.bunkers.map((bunker) => ({
    id: bunker.id,
    name: bunker.name,
    outlines: bunker.outlines.map((outline) => ({
      id: outline.id,
      part: calledIn(bunker, outline),
      progress: `${paintedOf(job, bunker.id, outline.id).size} of ${outline.points.length}`,
      chosen: bunker.id === job.bunkerId && outline.id === job.outlineId,
    })),
  }));
}
