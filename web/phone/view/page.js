// The parts of the page in their order, and the sheets over it.

import { el } from './element.js';
import { createCheckSheet } from './check_sheet.js';
import { createFigures } from './figures.js';
import { createGround } from './ground.js';
import { createHeadBar } from './head_bar.js';
import { createHoldButton } from './hold_button.js';
import { createMarkButton } from './mark_button.js';
import { createMoreSheet } from './more_sheet.js';
import { createNotices } from './notices.js';
import { createOutlineSheet } from './outline_sheet.js';
import { createPegSheet } from './peg_sheet.js';
import { createPracticeBand } from './practice_band.js';
import { createReceiverSheet } from './receiver_sheet.js';
import { createRemarks } from './remarks.js';
import { createToolRow } from './tool_row.js';
import { createVerdictStrip } from './verdict_strip.js';
import { createYardageSheet } from './yardage_sheet.js';

/** Build the working page into `root`; `on` holds what each part calls when it is used. */
export function createPage(root, { sitePage, field, pegs, bunker }, on) {
  const parts = {
    notices: createNotices({ onAct: on.act }),
    head: createHeadBar({ onChoose: on.outlines }),
    practice: createPracticeBand({ onWalk: on.walk, onShow: (shown) => root.classList.toggle('is-practice', shown) }),
    ground: createGround({ onTap: on.tap, onDrag: on.drag, onRadius: on.details, onResize: on.resize }),
    remarks: createRemarks(),
    figures: createFigures({ onYardage: on.yardage, onSay: on.say }),
    verdict: createVerdictStrip(),
    hold: createHoldButton({ onHold: on.hold }),
    mark: createMarkButton({ onPress: on.press }),
    tools: createToolRow({ onUndo: on.undo, onNearest: on.nearest, onLine: on.line, onMore: on.more }),
  };
  const sheets = {
    yardageSheet: createYardageSheet({ onTee: on.tee, onUnit: on.unit, onCheck: on.check }),
    checkSheet: createCheckSheet({ on }),
    receiverSheet: createReceiverSheet({ onRestart: on.restart, onLasting: on.setLasting, onLastingBack: on.unsetLasting }),
    outlineSheet: createOutlineSheet({ onChoose: on.choose }),
    moreSheet: createMoreSheet({
      siteUrl: sitePage, fieldUrl: field, pegsUrl: pegs(bunker), onUp: on.up, onReceiver: on.receiver, onPerson: on.person, onSend: on.send, onHandOver: () => on.act('handOver'),
      onYardage: on.yardage, onCheck: on.check, onOutlines: on.outlines, onDetails: on.details,
      onTrial: on.trial.open, onCheckIn: on.checkIn.open, onAid: on.aid,
    }),
  };
  const pegSheets = {
    trial: createPegSheet({ title: 'Receiver trial', on: on.trial }),
    'check-in': createPegSheet({ title: 'Check in on a peg', on: on.checkIn }),
  };
  const { notices, head, practice, ground, remarks, figures, verdict, hold, mark, tools } = parts;
  root.replaceChildren(
    el('div', { class: 'work' }, notices.node, head.node, practice.node, ground.node,
      el('div', { class: 'below' }, remarks.node, figures.node, verdict.node,
        el('div', { class: 'actions' }, el('div', { class: 'main-row' }, hold.node, mark.node), tools.node))),
    ...Object.values({ notices: notices.sheet, ...sheets, ...pegSheets }).map((sheet) => sheet.node));
  return { ...parts, ...sheets, pegSheets };
}

/** A page with nothing but words and a way to the site's own page, when there is nothing to work on; `onRetry` may be null. */
export function showOnlyWords(root, title, words, onRetry, fieldUrl) {
  const again = onRetry === null ? [] : [el('button', { class: 'main-button', type: 'button', onclick: onRetry }, 'Try again')];
  root.replaceChildren(el('div', { class: 'start' }, el('header', { class: 'start-head' }, el('div', {}, el('h1', {}, title))), el('p', { class: 'warning', role: 'alert' }, words), el('a', { class: 'way-back', href: fieldUrl }, 'All bunkers of this site'), ...again));
}
