// Arrow keys as steps on the screen, while no sheet is open and nothing is being written.

const STEP_PX = 12;
const ARROWS = { ArrowUp: [0, -1], ArrowDown: [0, 1], ArrowLeft: [-1, 0], ArrowRight: [1, 0] };

/** Listen; `onStep(rightPx, downPx)` answers true when it took the step. */
export function listenToArrowKeys(onStep) {
  addEventListener('keydown', (event) => {
    const arrow = ARROWS[event.key];
    if (!arrow || document.querySelector('dialog[open]') || event.target.matches('input')) return;
    if (onStep(arrow[0] * STEP_PX, arrow[1] * STEP_PX)) event.preventDefault();
  });
}
