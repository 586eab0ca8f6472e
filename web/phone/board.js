// The board of pegs at work.

import { boardLead, boardRows, boardWords, nearestFirst, pegsIn, scopesOf } from './session/board_rows.js';
import { createBoard } from './view/board.js';

/** The screen; `on` is what the page gives it. */
export function createBoardScreen(on) {
  let [scope, order, told] = ['bunker', null, ''];
  const view = createBoard({
    onScope: (chosen) => { [scope, order] = [chosen, null]; on.refresh(); },
    onPeg: (id) => on.go('peg', id),
    onNew: () => on.go('newpeg'),
  });

  /** The order of the rows: made when the board is opened, anew once there is a position, and when pegs come or go. */
  const orderOf = (job, pegs) => {
    const hasPlace = job.place !== null && job.place.awayM === null;
    const same = order !== null && order.hasPlace === hasPlace && order.ids.length === pegs.length && pegs.every(({ id }) => order.ids.includes(id));
    if (!same) order = { hasPlace, ids: nearestFirst(job, pegs) };
    return order.ids;
  };

  const show = () => {
    const job = on.current();
    const pegs = pegsIn(job, on.pegs(), scope);
    view.show({
      scopes: scopesOf(job), scope, lead: boardLead(job, pegs.length), told,
      rows: boardRows(job, pegs, orderOf(job, pegs), Date.now()),
    });
  };

  return {
    title: 'Pegs', label: 'Pegs: find, report, photograph', node: view.node, show,
    words: () => boardWords(on.current(), on.pegs()),
    open: () => {
      [order, told] = [null, on.told.take()];
      on.pictures.find(pegsIn(on.current(), on.pegs(), 'bunker').flatMap(({ photos }) => photos));
    },
    leave: () => { told = ''; },
  };
}
