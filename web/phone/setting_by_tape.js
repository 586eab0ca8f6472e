// The screen that sets out paint points by two taped distances.

import { tieModel } from './session/tie_model.js';
import { createTapePoint } from './tape_point.js';
import { createTiePage } from './view/tie_page.js';

/** The screen; `on` is what pegs.js gives every screen. */
export function createSettingByTape(on) {
  let only = null;
  const point = createTapePoint(on, { button: () => page.button });
  const model = () => tieModel(point.job(), on.pegs(), { number: point.number(), only });

  /** Choose a peg to tape from, or no longer; the best of all after null, and where none is left. */
  const peg = (id) => {
    const ids = model().pegs.filter((one) => one.isOn !== (one.id === id)).map((one) => one.id);
    only = id === null || ids.length === 0 ? null : ids;
    on.refresh();
  };

  const page = createTiePage({ ...point, number: point.choose, peg, toPegs: () => on.go('board') });
  return {
    title: 'Set out by tape',
    label: 'Set out by tape',
    words: () => 'two distances to every point',
    node: page.node,
    open: (n) => n !== undefined && point.choose(Number(n)),
    show: () => page.show(model()),
  };
}
