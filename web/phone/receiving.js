// The receiver in use and what is known of it: choosing one, holding still, and standing on a peg.

import { createPhoneReceiver } from './device/phone_receiver.js';
import { createPracticeReceiver } from './device/practice_receiver.js';
import { checkInFault, whereIs } from './session/checked_in.js';
import { createFixClock } from './session/fix_clock.js';
import { gaugeAfter, gaugeFrom, gaugeWithout, unknownReceiver } from './session/gauge.js';
import { droppedWords, holdButtonOf } from './session/holding_words.js';
import { withReceiver } from './session/job.js';
import { lastingFrom, lastingTyped } from './session/lasting.js';
import { foundOnPeg, standOnPeg } from './session/on_peg.js';
import { pegSheetModel } from './session/peg_sheet.js';
import { holdStill, walkAgain } from './session/placing.js';
import { practiceSetting } from './session/practice_setting.js';
import { receiverKind } from './session/receiver_words.js';
import { onPegRecord, undoRecord } from './session/record.js';

const KEPT_AS = { trial: 'trial phone', checkIn: 'check-in phone' };
const KINDS = ['phone', 'practice phone', 'practice centimetre'];
const lastingKey = (kind) => `lasting ${kind}`;

/**
 * The receiving part of the page. `current()` and `change(job)` are the job in hand, `page()` its view, `stamp()` a new
 * {id, at}, `onFix(fix)` takes a fix. What was found of a practice receiver is never kept: it is another one
 * each time. What was set by hand is kept for each kind of receiver.
 */
export function createReceiving({ keep, outbox, current, change, stamp, page, onFix, startNumber }) {
  let ofThePhone = unknownReceiver;
  const byHand = {};
  const standing = { trial: { chosen: null, found: null }, 'check-in': { chosen: null, found: null } };
  let receiver = null;
  let told = null;

  const load = async () => {
    const kept = await Promise.all(Object.values(KEPT_AS).map(keep.get)).catch(() => []);
    ofThePhone = gaugeFrom(...kept);
    const set = await Promise.all(KINDS.map((kind) => keep.get(lastingKey(kind)).catch(() => null)));
    KINDS.forEach((kind, i) => { byHand[kind] = lastingFrom(set[i]); });
  };

  const choose = (chosen) => {
    receiver?.stop();
    const [kind, grade] = chosen.split(' ');
    const now = Date.now();
    const practice = kind === 'phone' ? null : { grade, start: new Date(now).toISOString() };
    const found = practice === null ? ofThePhone : unknownReceiver;
    const job = withReceiver(current(), practice, { ...found, lasting: byHand[chosen] });
    receiver = practice === null
      ? createPhoneReceiver({ createClock: createFixClock, onFix, onTrouble: (trouble) => change({ ...current(), trouble }) })
      : createPracticeReceiver({ ...practiceSetting(job, startNumber ?? now), onFix });
    page().practice.show(practice !== null);
    change(job);
    receiver.start();
  };

  const know = (gauge) => {
    const kind = receiverKind(current().practice);
    if (gauge.lasting !== byHand[kind]) keep.set(lastingKey(kind), gauge.lasting).catch(() => {});
    byHand[kind] = gauge.lasting;
    if (current().practice === null) {
      ofThePhone = gauge;
      Object.entries(KEPT_AS).forEach(([name, key]) => keep.set(key, gauge[name]).catch(() => {}));
    }
    change({ ...current(), gauge });
  };

  const showPegSheet = (purpose) => page().pegSheets[purpose].show(pegSheetModel(current(), purpose, standing[purpose], Date.now()));

  const leave = () => {
    receiver?.goBack?.();
    change({ ...current(), onPeg: null });
  };

  const finish = (purpose) => {
    const job = current();
    const found = job.onPeg.left ? null : foundOnPeg(job);
    standing[purpose] = { chosen: null, found };
    if (found !== null && !found.fault) {
      const { id, at } = stamp();
      outbox.add(onPegRecord(job, found, { id, at }));
      const on = whereIs(job.onPeg.peg, job.frame);
      know(gaugeAfter(job.gauge, job.onPeg, found, { id, at, on, site: job.bundle.site.id, pageMs: job.sample?.pageMs ?? null }));
    }
    leave();
  };

  const onPeg = (purpose) => ({
    open: () => {
      standing[purpose] = { chosen: null, found: null };
      showPegSheet(purpose);
      page().pegSheets[purpose].open();
    },
    choose: (pegId) => { standing[purpose] = { chosen: pegId, found: null }; showPegSheet(purpose); },
    begin: () => {
      change(standOnPeg(current(), purpose, standing[purpose].chosen, Date.now()));
      receiver.visit?.(current().onPeg.peg);
    },
    finish: () => finish(purpose),
    leave,
    drop: () => drop(purpose === 'trial' ? 'trial' : 'checkIn'),
  });

  /** Drop the trial or the check-in, and take its record back. One of another site is not this record's to take back. */
  const drop = (what) => {
    const job = current();
    const { gauge, undoes } = gaugeWithout(job.gauge, what);
    const site = job.gauge[what].site ?? job.bundle.site.id;
    if (undoes !== null && site === job.bundle.site.id) {
      const { hole, device } = outbox.records().find((r) => r.id === undoes) ?? { device: job.device };
      outbox.add(undoRecord(job, { id: undoes, hole, device }, stamp()));
    }
    know(gauge);
  };

  /** Drop a check-in that cannot stand beside a fix that has come, for good, and say so. */
  const dropUnsound = (fix) => {
    const { checkIn } = current().gauge;
    const fault = checkInFault(current(), fix.at / 1000);
    if (fault === null) return;
    told = { words: droppedWords(checkIn, fault), danger: false, acts: [{ name: 'droppedSeen', words: 'Put away' }] };
    drop('checkIn');
  };

  return {
    load, choose, dropUnsound,
    notices: () => (told === null ? [] : [told]),
    acts: { droppedSeen: () => { told = null; change(current()); } },
    trial: onPeg('trial'),
    checkIn: onPeg('check-in'),
    hold: () => {
      const job = current();
      change(job.holding === null ? holdStill(job, Date.now()) : walkAgain(job, null, Date.now()));
    },
    /** Set by hand how long the receiver's errors last, {minutes, percent} as typed; null, or words why it cannot be. */
    setLasting: (typed) => {
      const { lasting, fault } = lastingTyped(typed);
      if (!fault) know({ ...current().gauge, lasting });
      return fault ?? null;
    },
    unsetLasting: () => know({ ...current().gauge, lasting: null }),
    marked: () => change(walkAgain(current(), 'marked', Date.now())),
    restart: () => { receiver.stop(); receiver.start(); },
    show: () => {
      page().hold.show(holdButtonOf(current(), Date.now()));
      Object.entries(page().pegSheets).forEach(([purpose, sheet]) => sheet.isOpen() && showPegSheet(purpose));
    },
    leadTo: (place) => receiver?.leadTo?.(place),
    visit: (place) => receiver?.visit?.(place),
    goBack: () => receiver?.goBack?.(),
    walk: (on) => receiver?.walkByItself?.(on),
    steer: ({ dx, dy }) => {
      receiver?.steer?.(dx, dy);
      return receiver?.steer !== undefined;
    },
  };
}
