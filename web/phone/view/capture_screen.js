// The screen of capturing a line, in four parts: choose how, measure by tape, walk, look at it and save it.

import { createCaptureEntry } from './capture_entry.js';
import { createCaptureLook } from './capture_look.js';
import { createCaptureSketch } from './capture_sketch.js';
import { el, keepChildren, setAttribute, setText } from './element.js';
import { createSegments } from './sheet.js';
import { createTapeRows } from './tape_rows.js';
import { createVerdictStrip } from './verdict_strip.js';

/** The screen: {node, show(part, model, picture), size(), focusFirst()}; `on` holds what each part calls. */
export function createCaptureScreen(on) {
  const sketch = createCaptureSketch({ onResize: on.onResize });
  const entry = createCaptureEntry(on);
  const parts = { choose: createChoose(on), measure: entry, walk: createWalk(on), look: createCaptureLook(on) };
  const node = el('div', { class: 'capture' }, sketch.node, ...Object.values(parts).map((part) => part.node));
  const show = (now, model, picture) => {
    sketch.node.hidden = picture === null;
    setAttribute(node, 'data-part', now);
    Object.entries(parts).forEach(([name, part]) => { part.node.hidden = name !== now; });
    parts[now].show(model);
    if (picture !== null) sketch.draw(picture);
  };
  return { node, show, size: sketch.size, focusFirst: entry.focusFirst };
}

function createChoose({ onOutline, onRow, onUndo }) {
  const told = el('div', { class: 'entry-told', role: 'status' });
  const undo = el('button', { class: 'tool', type: 'button', onclick: onUndo });
  const outline = createSegments({ label: 'Which line', onChoose: onOutline });
  const rows = createTapeRows({ label: 'How to measure it', onChoose: (name) => shown.find((row) => row.name === name)?.able !== false && onRow(name) });
  const node = el('div', { class: 'capture-choose' }, told, undo, outline.node, rows.node);
  let shown = [];
  const show = (model) => {
    shown = model.rows;
    keepChildren(told, model.told.length, () => el('p')).forEach((line, i) => setText(line, model.told[i]));
    told.hidden = model.told.length === 0;
    undo.hidden = model.undo === null;
    setText(undo, model.undo ?? '');
    outline.node.hidden = model.outlines.length === 0;
    outline.show(model.outlines, model.outline);
    rows.show(model.rows);
    [...rows.node.children].forEach((row, i) => { row.disabled = model.rows[i].able === false; });
  };
  return { node, show };
}

function createWalk({ onWalk, onLook }) {
  const [value, unit] = [el('span', { class: 'figure-value' }), el('span', { class: 'figure-unit' })];
  const lines = el('div', { class: 'walk-lines' });
  const strip = createVerdictStrip({ className: 'capture-truth' });
  const go = el('button', { class: 'main-button', type: 'button', onclick: onWalk });
  const look = el('button', { class: 'tool', type: 'button', onclick: onLook });
  const node = el('div', { class: 'capture-walk' }, el('p', { class: 'figure' }, value, unit), lines, strip.node,
    el('div', { class: 'tape-main' }, el('div', { class: 'tape-main-row' }, go, look)));
  const show = (model) => {
    setText(value, model.figure[0]);
    setText(unit, model.figure[1]);
    keepChildren(lines, model.lines.length, () => el('p')).forEach((line, i) => setText(line, model.lines[i]));
    strip.node.hidden = model.truth === null;
    if (model.truth !== null) strip.show(model.truth);
    setText(go, model.go.label);
    setAttribute(go, 'data-state', model.go.isOn ? 'asking' : 'ready');
    look.hidden = model.look === null;
    setText(look, model.look ?? '');
  };
  return { node, show };
}
