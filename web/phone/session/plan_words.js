// What is said of the plans on this phone: how old, which revision, what a newer one changes.

const MINUTE_MS = 60e3;
const HOUR_MS = 60 * MINUTE_MS;
const DAY_MS = 24 * HOUR_MS;

/** How long ago: '3 hours ago'. A time after now means that the phone's clock was set since. */
export function agoWords(atMs, nowMs) {
  const ms = nowMs - atMs;
  if (ms < -MINUTE_MS) return 'at a time this phone\'s clock has not reached';
  if (ms < 1.5 * MINUTE_MS) return 'just now';
  const [size, name] = ms < 90 * MINUTE_MS ? [MINUTE_MS, 'minutes'] : ms < 36 * HOUR_MS ? [HOUR_MS, 'hours'] : [DAY_MS, 'days'];
  return `${Math.round(ms / size)} ${name} ago`;
}

/** One hole's plan as it is kept: 'revision B, as on the server 2 days ago'. */
export function planWords({ bundle, keptAt }, nowMs) {
  const revisions = [...new Set(bundle.bunkers.map(({ revision }) => revision))];
  return `${revisionWords(revisions)}, as on the server ${agoWords(keptAt, nowMs)}`;
}

function revisionWords(revisions) {
  if (revisions.length === 1) return `revision ${revisions[0]}`;
  return `revisions ${revisions.slice(0, -1).join(', ')} and ${revisions.at(-1)}`;
}

/** How much of a site is kept: `plans` holds one {bundle, keptAt} or null for each hole. */
export function keptWords(plans, nowMs) {
  const kept = plans.filter(Boolean);
  if (kept.length === 0) return 'No plan is kept on this phone yet.';
  const oldest = Math.min(...kept.map(({ keptAt }) => keptAt));
  const all = plans.length === 1 ? 'The plan of the one hole is' : `The plans of all ${plans.length} holes are`;
  const some = `The plans of ${kept.length} of ${plans.length} holes are`;
  return `${kept.length === plans.length ? all : some} kept on this phone, as on the server ${agoWords(oldest, nowMs)}.`;
}

/** The announcement of a plan that would move points: `change` as `planChange` gives it. */
export function newerWords(change) {
  return `A newer plan is here: ${change.revisions.length ? `${revisionWords(change.revisions)}.` : 'points have moved.'}`;
}
