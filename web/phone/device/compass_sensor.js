// The phone's compass, where there is one. Only a tap may ask for it.

const LEAST_GAP_MS = 150;

/** Ask and listen; `onReading({alpha, beta, gamma, webkitHeadingDeg, screenAngleDeg})`. Call it from a tap. */
export async function startCompass(onReading) {
  const Sensor = globalThis.DeviceOrientationEvent;
  if (!Sensor) return;
  if (Sensor.requestPermission) {
    const answer = await Sensor.requestPermission(true).catch(() => 'denied');
    if (answer !== 'granted') return;
  }
  let lastAt = -Infinity;
  const take = (event) => {
    const reading = readingOf(event);
    if (reading === null || event.timeStamp - lastAt < LEAST_GAP_MS) return;
    lastAt = event.timeStamp;
    onReading(reading);
  };
  addEventListener('deviceorientationabsolute', take);
  addEventListener('deviceorientation', take);
}

/** A reading against north, or null: an event that is only relative says nothing of it. */
function readingOf(event) {
  const webkit = event.webkitCompassHeading;
  const webkitHeadingDeg = typeof webkit === 'number' && (event.webkitCompassAccuracy ?? 0) >= 0 ? webkit : null;
  if (webkitHeadingDeg === null && (!event.absolute || event.alpha === null)) return null;
  const { alpha, beta, gamma } = event;
  return { alpha, beta, gamma, webkitHeadingDeg, screenAngleDeg: screen.orientation?.angle ?? 0 };
}
