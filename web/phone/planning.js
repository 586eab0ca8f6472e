// The plan in hand: opened from what is kept on the phone, made fresh behind the work, and never changed under it.

import { createOffline } from './device/offline.js';
import { createPlans } from './device/plans.js';
import { closedDoor, loadFaultWords } from './session/fault_words.js';
import { canRead, planChange, withPlan } from './session/fresh_plan.js';
import { agoWords, planWords } from './session/plan_words.js';
import { keptHere } from './session/ready.js';
import { bundleFault } from './session/sheets.js';
import { heard, isTakenOut, planNotice, revisionsOf, supersededBy } from './session/superseded.js';
import { showOnlyWords } from './view/page.js';
import { describePage } from './view/page_head.js';
import { createPlanNotice } from './view/plan_notice.js';

const PATIENCE_MS = 1000;
const AGAIN_MS = 60e3;
const OLD_AFTER_MS = 10 * 60e3;
const OTHER_HOLES_AFTER_MS = 4000;
const LET_IN_NO_MORE = [401, 403];

/** The planning of one page at work on a bunker, `purpose` in its title; `current()` and `change(job)` are the job in hand, null before it is made. */
export function createPlanning({ keep, addresses, purpose = 'set out', current, change }) {
  const plans = createPlans({ keep, indexUrl: addresses.index, canRead });
  let [index, url, inHand, isFresh, fault, newer, askedAt] = [null, null, null, false, null, null, Date.now()];
  let [revisions, askedFor] = [{}, null];
  const offline = createOffline({ url: addresses.worker, scope: addresses.scope, onChange: () => current() && change(current()) });
  const notice = createPlanNotice({ onTake: () => takeNewer() });

  /** The bundle to work on; null when there is none, which the page then says. */
  const open = async (root) => {
    try {
      const { bundle } = await choose();
      describePage(`${bundle.bunkers.find(({ id }) => id === addresses.bunker).name}: ${purpose}`, addresses.manifest);
      goOn();
      return bundle;
    } catch (why) {
      showOnlyWords(root, why.title ?? 'Set out', why.words ?? why.message, () => location.reload(), addresses.field);
      return null;
    } finally {
      offline.start();
    }
  };

  /** The plan in hand: the server's when it comes within a second, else the kept one. Throws an error with `title` and `words`. */
  const choose = async () => {
    const kept = await keptPlan();
    const asking = freshPlan();
    asking.catch(() => {});
    const first = kept === null ? asking : Promise.race([asking, later(navigator.onLine ? PATIENCE_MS : 0)]);
    const plan = await first.catch((thrown) => fall(thrown, kept)) ?? kept;
    isFresh = plan !== kept;
    if (plan === kept && fault === null) asking.then(take, note);
    return use(plan);
  };

  const keptPlan = async () => {
    index = (await plans.index())?.index ?? null;
    url = index?.holes.find(has)?.bundle_url ?? null;
    return url === null ? null : plans.plan(url);
  };

  const has = (hole) => hole.bunkers.some(({ id }) => id === addresses.bunker);

  const freshPlan = async () => {
    if (url === null) {
      index = await plans.freshIndex().catch((thrown) => { if (index === null || thrown.status) throw thrown; return index; });
      url = index.holes.find(has)?.bundle_url ?? null;
      if (url === null) throw noSuchBunker(addresses.bunker, index.name);
    }
    return plans.freshPlan(url);
  };

  /** What to do without a fresh plan: the kept one, unless there is none or the server says that the hole is gone. */
  const fall = (thrown, kept) => {
    const isRefused = thrown.status >= 400 && thrown.status < 500 && !LET_IN_NO_MORE.includes(thrown.status);
    if (thrown.stranger && kept === null) throw nothingToDo({ title: 'Set out', words: bundleFault(thrown.stranger, addresses.bunker) });
    if (kept === null || isRefused) throw nothingToDo(loadFaultWords(thrown));
    fault = thrown;
    return kept;
  };

  const use = (plan) => {
    const wrong = bundleFault(plan.bundle, addresses.bunker);
    if (wrong) throw nothingToDo({ title: 'Set out', words: wrong });
    inHand = plan;
    return plan;
  };

  /** A plan came while one is in hand: taken silently when nothing has moved, else announced. */
  const take = (fresh) => {
    const job = current();
    if (job === null) return undefined;
    [isFresh, fault, askedAt] = [true, null, Date.now()];
    const moved = planChange(job.bundle, fresh.bundle);
    newer = moved === null ? null : fresh;
    revisions = heard(revisions, revisionsOf(fresh.bundle), job.bundle, job.bunkerId, true);
    if (moved === null) inHand = fresh;
    tell(moved);
    return change(moved === null ? withPlan(job, fresh.bundle, Date.now()) : job);
  };

  const note = (thrown) => {
    fault = thrown;
    if (current() !== null) change(current());
  };

  /** Change to the newer plan, if there is one: by a tap, or when another point is chosen. */
  const takeNewer = () => {
    if (newer === null || newer.bundle.bunkers.length === 0) return;
    [inHand, newer] = [newer, null];
    change(withPlan(current(), inHand.bundle, Date.now()));
    tell(null);
  };

  const tell = (moved) => notice.show(planNotice(current(), { newer: newer?.bundle ?? null, change: moved, revisions }));

  /** What the server tells that stands, {bunker: revision}: where that is another one it is said at once, and its plan asked for; `isOfHole` as in `heard`. */
  const hear = (told, isOfHole) => {
    if (current() === null) return;
    const { bundle, bunkerId } = current();
    revisions = heard(revisions, told, bundle, bunkerId, isOfHole);
    if (newer === null) tell(null);
    const known = (newer ?? inHand).bundle;
    const by = supersededBy(known, bunkerId, revisions) ?? (isTakenOut(known, bunkerId, revisions) ? 'out' : null);
    if (by === askedFor) return;
    askedFor = by;
    if (by !== null) plans.freshPlan(url).then(take, note);
  };

  const freshen = () => {
    const isDue = !isFresh || askedFor !== null || Date.now() - askedAt > OLD_AFTER_MS;
    if (isDue && newer === null && document.visibilityState === 'visible') plans.freshPlan(url).then(take, note);
  };

  /** Go on in the background: the plan of this hole until it is fresh, then those of the other holes. */
  const goOn = () => {
    setInterval(freshen, AGAIN_MS);
    addEventListener('online', freshen);
    document.addEventListener('visibilitychange', freshen);
    setTimeout(() => plans.freshIndex().then(keepOthers).catch(() => {}), OTHER_HOLES_AFTER_MS);
  };

  const keepOthers = ({ holes }) => plans.keepAll({ holes: holes.filter((hole) => hole.bundle_url !== url) });

  /** What the page must say of it: since when the plan is kept, and further notices. */
  const keptSince = () => (isFresh || fault === null || inHand === null ? null : `as it was ${agoWords(inHand.keptAt, Date.now())}`);
  const notices = () => (fault === null ? [] : faultNotices(fault));

  return {
    open, takeNewer, hear, keptSince, notices, notice: notice.node, workerFault: () => offline.state().thrown,
    words: () => keptHere(inHand === null ? '' : `Hole ${inHand.bundle.hole.number}: ${planWords(inHand, Date.now())}.`, offline.state()),
  };
}

const noSuchBunker = (bunker, place) => Object.assign(new Error(), {
  status: 404, title: 'Not found', detail: `There is no bunker '${bunker}' at ${place}. Choose another one on the page of the site.`,
});

const nothingToDo = (why) => Object.assign(new Error(why.words), why);

const later = (ms) => new Promise((resolve) => { setTimeout(() => resolve(null), ms); });

function faultNotices({ status, detail, stranger }) {
  if (stranger) return [{ words: `The server's plan is of version ${stranger.version}, newer than this page can read. Go on with the kept one, and load this page again where there is signal.`, danger: false }];
  if (LET_IN_NO_MORE.includes(status)) return [closedDoor({ status, detail })];
  return status >= 400 && status < 500 ? [{ words: `The server has no such plan any more: ${detail}`, danger: true }] : [];
}
