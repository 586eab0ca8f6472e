// When a fix was, by the phone's clock. A fix carries a time of its own, which may come from another clock: the phone's
// can be a minute off the satellites'. So only how that time moves is believed.

/**
 * A clock for one watch: `timeOf(stampMs, arrivedMs)` gives the time of a fix by the phone's clock. The least lag of an
 * arrival behind its stamp is taken as the two clocks' difference; what lags more is that much older. So a stamp that
 * repeats grows old, and one that jumps back is old at once. A fix without a stamp is as old as its arrival.
 */
export function createFixClock() {
  let leastLagMs = Infinity;
  return (stampMs, arrivedMs) => {
    if (!Number.isFinite(stampMs)) return arrivedMs;
    leastLagMs = Math.min(leastLagMs, arrivedMs - stampMs);
    return stampMs + leastLagMs;
  };
}
