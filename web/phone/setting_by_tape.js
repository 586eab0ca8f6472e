// The screen that sets out paint points by two taped distances.

import { tieModel } from './session/tie_model.js';
import { createTapePoint } from './tape_point.js';
import { createTiePage } from './view/tie_page.js';

/** The screen; `on` is what pegs.js gives every screen. */
export function createSettingByTape(on) {
  let only = null;
  const point = createTapePoint(on, { button: () => page.button, asks: () => model().button.asks });
  const model = () => tieModel(point.job(), on.pegs(), { number: point.number(), only });

  /** Use a peg or leave it out; all of them after null. */
  const peg = (id) => {
    const { pegs } = model();
    const ids = pegs.filter((one) => one.isOn !== (one.id === id)).map((one) => one.id);
    only = id === null || ids.length === pegs.length ? null : ids;
    on.refresh();
  };

  const page = createTiePage({ ...point, number: point.choose, peg });
  return {
    title: 'Set out by tape',
    label: 'Set out by tape',
    words: () => 'two distances to every point',
    node: page.node,
    open: (n) => n !== undefined && point.choose(Number(n)),
    show: () => page.show(model()),
  };
}
