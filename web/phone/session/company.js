// Others at work on the same hole: where they are, what they painted, and what was painted twice.

import { clockWords } from './clock_words.js';

const TWICE_WITHIN_MS = 12 * 3600e3;

/** What this phone tells of itself: where it works; null while practising, which is nobody else's business. */
export function presenceOf(job, aim) {
  if (job.practice !== null) return null;
  const { device, person, bunkerId: bunker, outlineId: outline } = job;
  return { device, person, hole: job.bundle.hole.number, bunker, outline, number: aim.point?.number ?? null };
}

/** The job with who else is there: [{device, person, bunker, outline, number, seconds}]; nobody while practising. */
export function withOthers(job, others) {
  return { ...job, others: job.practice === null ? others : [] };
}

const atOutline = (job) => (job.others ?? []).filter((o) => o.bunker === job.bunkerId && o.outline === job.outlineId && o.number !== null);

/** The numbers on the chosen outline that others are at. */
export function numbersOfOthers(job) {
  return new Set(atOutline(job).map((o) => o.number));
}

/**
 * Who stays at the point this phone aims at, {number, name}, so that this one goes on; null when this one stays. Of phones at
 * the same point the one whose id comes first stays, which both know without asking each other.
 */
export function whoStays(job) {
  const first = atOutline(job).find(({ number, device }) => number === job.number && device < job.device);
  return first === undefined ? null : { number: job.number, name: named(first.person) };
}

/** 'Alex is at 12 too'; empty where nobody is. */
export function companyWords(job, number) {
  const names = [...new Set(atOutline(job).filter((o) => o.number === number).map(({ person }) => named(person)))];
  if (names.length === 0) return '';
  return `${names.join(' and ')} ${names.length === 1 ? 'is' : 'are'} at ${number} too`;
}

/** Where others are, for the picture: [{x, y, name}] at the points they aim at. */
export function othersOnGround(job) {
  return (job.others ?? []).flatMap(({ person, bunker, outline, number }) => {
    const drawn = job.bundle.bunkers.find((b) => b.id === bunker)?.outlines.find((o) => o.id === outline);
    const point = drawn?.points.find(([n]) => n === number);
    return point === undefined ? [] : [{ x: point[1], y: point[2], name: named(person) }];
  });
}

/** The newest standing mark of a point of the chosen outline in its standing revision, or null. */
export function markOn(job, number) {
  return ofPoint(job).filter((m) => m.number === number).at(-1) ?? null;
}

/** The newest such mark that somebody else made, or null. */
export function markOfAnother(job, number) {
  return ofPoint(job).filter((m) => m.number === number && !m.own).at(-1) ?? null;
}

function ofPoint(job) {
  const { revision } = job.bundle.bunkers.find((b) => b.id === job.bunkerId);
  return job.marks.filter((m) => m.bunker === job.bunkerId && m.outline === job.outlineId && m.revision === revision);
}

/** 'painted by Alex at 09:12', 'painted by you at 09:12'. */
export function paintedWords(mark) {
  return `painted ${byWhom(mark)}`;
}

/** What the button asks before a point is painted that another has painted. */
export function paintedAlreadyWords(mark) {
  return `${mark.number} was ${paintedWords(mark)}. Tap again to paint it all the same.`;
}

/**
 * Points of this hole that this phone and another painted at about the same time: [{key, words}]. Marks further apart
 * than half a day are a line renewed.
 */
export function paintedTwice(job) {
  if (job.practice !== null) return [];
  return job.marks.filter((m) => m.own).flatMap((ours) => {
    const other = job.marks.filter((m) => !m.own && isSamePoint(m, ours)).at(-1);
    return other === undefined ? [] : [{
      key: `${ours.id} ${other.id}`,
      words: `${ours.number} was painted twice: by you at ${clockWords(ours.made_at)} and ${byWhom(other)}.`,
    }];
  });
}

function isSamePoint(one, other) {
  return ['bunker', 'outline', 'number', 'revision'].every((name) => one[name] === other[name])
    && Math.abs(Date.parse(one.made_at) - Date.parse(other.made_at)) <= TWICE_WITHIN_MS;
}

const named = (person) => person || 'Somebody';
const byWhom = (mark) => `by ${mark.own ? 'you' : named(mark.person)} at ${clockWords(mark.made_at)}`;
