// Fewer of many: where errors last for minutes, every second fix tells nearly what all of them do.

/** At most so many of a list, evenly spread, first and last among them. */
export function evenly(list, most) {
  if (list.length <= most) return list;
  return Array.from({ length: most }, (_, i) => list[Math.round((i * (list.length - 1)) / (most - 1))]);
}
