// The distance and the way as a voice says them: whole words, no signs.

import { groundWords } from './lengths.js';
import { isBelowRadius, isVague, troubleWords, wayLines } from './wording.js';

const SAID = {
  m: ['metre', 'metres'], cm: ['centimetre', 'centimetres'], km: ['kilometre', 'kilometres'],
  ft: ['foot', 'feet'], in: ['inch', 'inches'], s: ['second', 'seconds'],
};
const UNIT = /(\d+(?:\.\d+)?) (km|cm|m|ft|in|s)\b/g;

/** Signs of units as words: '2.10 m left' becomes '2.1 metres left'. */
export function spokenUnits(words) {
  return words.replace(UNIT, (_, figure, unit) => {
    const said = figure.includes('.') ? figure.replace(/0+$/, '').replace(/\.$/, '') : figure;
    return `${said} ${SAID[unit][said === '1' ? 0 : 1]}`;
  });
}

/** What is said of an aim on request. */
export function spokenAim(job, aim, figures) {
  if (aim.point === null) return 'All painted.';
  if (aim.place === null) return `No position. ${troubleWords(job.trouble)}`;
  if (aim.way === null) return 'You are far from this hole.';
  const { verdict } = figures;
  if (aim.isDoubtful) return `${verdict.title}. ${spokenUnits(verdict.detail)}`;
  const { radius95M } = aim.place;
  const unit = job.bundle.site.units.ground;
  const what = aim.line === null ? `Point ${aim.point.number}` : 'The line';
  const isNear = isVague(radius95M) || isBelowRadius(aim.distanceM, radius95M);
  const far = isNear ? [] : [groundWords(aim.distanceM, unit, radius95M)];
  const [first, ...rest] = [...far, ...wayLines(aim.way, unit, radius95M)];
  return spokenUnits([`${what}: ${first}`, ...rest, verdict.title].join('. ')).concat('.');
}
