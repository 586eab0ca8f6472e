// How long a fix takes to reach the figures and the next frame, as performance measures.

/** Run `show` for a fix that has just come, and measure 'fix-figures' and 'fix-frame'. */
export function timeFix(show) {
  performance.mark('fix');
  show();
  performance.measure('fix-figures', 'fix');
  requestAnimationFrame(() => {
    const channel = new MessageChannel();
    channel.port1.onmessage = () => performance.measure('fix-frame', 'fix');
    channel.port2.postMessage(0);
  });
}
