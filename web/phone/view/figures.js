// One big figure, the way in plain words, the bearing, which way to turn, and the yardage beside them.

import { el, keepChildren, setAttribute, setText } from './element.js';

const SIZES = [[3, 'huge'], [5, 'large'], [7, 'middle'], [Infinity, 'small']];

/** The figures: {node, show(figures)}. */
export function createFigures({ onYardage, onSay }) {
  const figure = el('button', { class: 'figure', type: 'button', onclick: onSay });
  const bearing = el('strong', {}, '–');
  const [yards, from] = [el('strong', {}), el('small', {})];
  const yardage = el('button', { class: 'yardage', type: 'button', onclick: onYardage }, yards, from);
  const way = el('div', { class: 'way' });
  const [turn, told] = [el('strong', {}), el('small', {})];
  const compass = el('p', { class: 'compass', hidden: true }, turn, told);
  const node = el('section', { class: 'figures', 'aria-label': 'Distance and way' },
    figure, yardage, el('div', { class: 'way-row' }, way,
      el('div', { class: 'figure-side' }, el('p', { class: 'bearing' }, el('span', {}, 'bearing '), bearing), compass)));

  const show = (figures) => {
    showParts(figure, figures.parts);
    setText(bearing, figures.bearing);
    keepChildren(way, figures.way.length, () => el('p', {})).forEach((line, i) => setText(line, figures.way[i]));
    yardage.hidden = figures.yardage === null;
    if (figures.yardage) [yards, from].forEach((part, i) => setText(part, figures.yardage[i]));
    compass.hidden = figures.pointer === null;
    if (figures.pointer === null) return;
    setText(turn, figures.pointer.turn);
    setText(told, figures.pointer.words);
  };
  return { node, show };
}

function showParts(figure, parts) {
  const pieces = parts.flatMap(([value, unit]) => [['figure-value', value], ['figure-unit', unit]]);
  keepChildren(figure, pieces.length, () => el('span')).forEach((span, i) => {
    if (span.className !== pieces[i][0]) span.className = pieces[i][0];
    setText(span, pieces[i][1]);
  });
  const length = pieces.reduce((n, [, text]) => n + text.length, 0);
  setAttribute(figure, 'data-size', SIZES.find(([most]) => length <= most)[1]);
}
