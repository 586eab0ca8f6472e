// Times of day as a person reads them.

/** The time of day of a moment (ISO 8601) on this phone's clock: '09:12'. */
export function clockWords(iso) {
  return new Date(iso).toLocaleTimeString([], { hour: '2-digit', minute: '2-digit', hour12: false });
}

/** A length of time in hours, or in days from two on: '5 hours', '3 days'. */
export function longWords(ms) {
  const hours = Math.round(ms / 3600e3);
  const [count, unit] = hours < 48 ? [hours, 'hour'] : [Math.round(hours / 24), 'day'];
  return `${count} ${unit}${count === 1 ? '' : 's'}`;
}
