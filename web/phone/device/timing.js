// How long a fix takes to reach the figures and the next frame, as performance measures.

const NAMES = ['fix-figures', 'fix-frame'];
const MOST_KEPT = 500;

let timed = 0;

/** Run `show` for a fix that has just come, and measure 'fix-figures' and 'fix-frame'; never more than 500 are kept. */
export function timeFix(show) {
  if (timed === MOST_KEPT) NAMES.forEach((name) => performance.clearMeasures(name));
  timed = (timed % MOST_KEPT) + 1;
  const start = performance.now();
  show();
  performance.measure(NAMES[0], { start });
  requestAnimationFrame(() => {
    const channel = new MessageChannel();
    channel.port1.onmessage = () => performance.measure(NAMES[1], { start });
    channel.port2.postMessage(0);
  });
}
