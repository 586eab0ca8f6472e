// A revision that stands no more: what the phone says of it while it works on.

import { newerWords } from './plan_words.js';

/** The revision that stands of a bunker where it is another than the one in hand, else null; `revisions` by bunker, as the server told. */
export function supersededBy(bundle, bunkerId, revisions) {
  const ours = bundle.bunkers.find(({ id }) => id === bunkerId)?.revision;
  const stands = revisions[bunkerId];
  return ours === undefined || stands === undefined || stands === ours ? null : stands;
}

/** The revisions of a bundle by bunker. */
export const revisionsOf = (bundle) => Object.fromEntries(bundle.bunkers.map(({ id, revision }) => [id, revision]));

/**
 * What is said of the plan in hand, {kind, title, words, take: what the button says, null without one}, or null. `newer` is the
 * bundle that came, with `change` as `planChange` gives it, both null before; `revisions` as the server told.
 */
export function planNotice({ bundle, bunkerId }, { newer, change, revisions }) {
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
