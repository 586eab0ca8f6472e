// A revision that stands no more: what the phone says of it while it works on.

import { newerWords } from './plan_words.js';

/** The revision that stands of a bunker where it is another than the one in hand, else null; `revisions` by bunker, as the server told. */
export function supersededBy(bundle, bunkerId, revisions) {
  const ours = bundle.bunkers.find(({ id }) => id === bunkerId)?.revision;
  const stands = revisions[bunkerId];
  return ours === undefined || stands === undefined || stands === null || stands === ours ? null : stands;
}

/**
 * What stands by bunker, with what was told since: null for the bunker in hand where it stands no more, since it is missing among those
 * of its hole. `isOfHole` says that the hole was asked for, of which none may be left.
 */
export function heard(revisions, told, bundle, bunkerId, isOfHole = false) {
  const isMissing = !(bunkerId in told) && (isOfHole || bundle.bunkers.some(({ id }) => id in told));
  return { ...revisions, ...told, ...(isMissing ? { [bunkerId]: null } : {}) };
}

/** Whether the bunker in hand stands on its hole no more, as far as was told of that hole. */
export function isTakenOut(bundle, bunkerId, revisions) {
  return bundle.bunkers.some(({ id }) => id === bunkerId) && revisions[bunkerId] === null;
}

/** The revisions of a bundle by bunker. */
export const revisionsOf = (bundle) => Object.fromEntries(bundle.bunkers.map(({ id, revision }) => [id, revision]));

/**
 * What is said of the plan in hand, {kind, title, words, take: what the button says, null without one}, or null. `newer` is the
 * bundle that came, with `change` as `planChange` gives it, both null before; `revisions` as the server told.
 */
export function planNotice({ bundle, bunkerId }, { newer, change, revisions }) {
  const isOut = newer === null ? isTakenOut(bundle, bunkerId, revisions) : newer.bunkers.every(({ id }) => id !== bunkerId);
  if (isOut) {
    const { name, revision } = bundle.bunkers.find(({ id }) => id === bunkerId);
    return {
      kind: 'superseded',
      title: `${name} is out of the plan`,
      words: `You work from ${revision}, and no revision of it stands on this hole. Ask the desk before you paint on. Your marks are kept.`,
      take: newer === null || newer.bunkers.length === 0 ? null : 'Take the new plan',
    };
  }
  const by = supersededBy(bundle, bunkerId, newer === null ? revisions : revisionsOf(newer));
  if (by !== null) {
    const { revision } = bundle.bunkers.find(({ id }) => id === bunkerId);
    return {
      kind: 'superseded',
      title: `Superseded by ${by}`,
      words: `You work from ${revision}. Paint from ${revision} already on the ground is told apart on the site page.`,
      take: newer === null ? null : `Take ${by}`,
    };
  }
  return newer === null ? null : { kind: 'newer', title: newerWords(change), words: '', take: 'Take it' };
}

/**
 * What the list of bunkers says of one whose plan on this phone, or whose paint, is of a revision that stands no more:
 * {title, words} or null. `kept` is the revision on this phone, `stands` the one that stands, `painted` the revisions of its marks.
 */
export function supersededRow({ kept, stands, painted }) {
  if (kept !== stands) return { title: `${kept} is superseded by ${stands}`, words: `The plan of ${stands} is not on this phone yet.` };
  const older = painted.filter((revision) => revision !== stands);
  if (older.length === 0) return null;
  const names = [...new Set(older)].join(', ');
  const points = `${older.length} ${older.length === 1 ? 'point is' : 'points are'} painted from ${names}`;
  return { title: `${names} ${names.includes(',') ? 'are' : 'is'} superseded by ${stands}`, words: `${points}: the site page tells what to re-mark.` };
}

/** Whether the server told of a revision that a list of the site does not have yet. */
export function isNews(index, revisions) {
  return (index?.holes ?? []).some(({ bunkers }) => bunkers.some(({ id, revision }) => (revisions[id] ?? revision) !== revision));
}
