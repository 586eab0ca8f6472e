// The check before leaving the yard: measures one thing after the other and shows each as it is known.

import { isAppleTab, measureBattery, measureClock, measureLocation, measureServer, measureStorage } from './device/readiness.js';
import { readyRows, readyVerdict } from './session/ready.js';

/** {check(), showHomeScreen(), isOpen()}. `freshen()` brings the plans up to date; `plans()` gives {held, fault}. */
export function createYard({ addresses, keep, offline, page, freshen, waiting, plans }) {
  let facts = {};
  let [isOpen, isRunning] = [false, false];

  const homeScreen = () => (isAppleTab() ? { waiting: waiting() } : null);

  const show = () => {
    isOpen = true;
    const rows = readyRows(facts, Date.now());
    page.showReady(rows, readyVerdict(rows));
    return readyVerdict(rows).state;
  };
  const know = (found) => { facts = { ...facts, ...found }; show(); };

  const measures = () => [
    measureServer(addresses.index).then((server) => know({ server })),
    offline.check().then(() => know({ page: offline.state() })),
    measurePlans().then((found) => know({ plans: found })),
    measureStorage(keep).then((storage) => know({ storage })),
    measureLocation().then((location) => know({ location })),
    measureClock(addresses.clock).then((clock) => know({ clock })),
    measureBattery().then((battery) => know({ battery })),
  ];

  const measurePlans = async () => {
    await freshen();
    const { held, fault } = plans();
    return { held, isFresh: fault === null, faults: fault?.stranger ? [strangerWords(fault.stranger)] : [] };
  };

  const check = async () => {
    if (isRunning) return;
    isRunning = true;
    facts = { secure: { isSecure: isSecureContext }, homeScreen: homeScreen() };
    show();
    await Promise.all(measures());
    isRunning = false;
    const at = Date.now();
    const state = show();
    await keep.set(`ready ${addresses.field}`, { at, state }).catch(() => {});
  };

  /** On an iPhone's tab, before anything else: the home screen, and what waits in this tab. */
  const showHomeScreen = () => {
    if (isOpen) return;
    const rows = readyRows({ ...NOTHING, homeScreen: homeScreen() }, Date.now());
    page.showReady(rows, readyVerdict(rows));
  };

  return { check, showHomeScreen, isOpen: () => isOpen };
}

const NOTHING = { secure: null, server: null, page: null, plans: null, storage: null, location: null, clock: null, battery: null };

const strangerWords = ({ version }) => `The server's plan is of version ${version}, newer than this page can read: the kept one goes on being used. Load this page again where there is signal.`;
