// A peg's name on a picture, where a long one has no room.

const LONGEST = 10;

/** A name shortened to what a picture has room for: 'long-name…'. */
export const shortName = (id) => (id.length > LONGEST ? `${id.slice(0, LONGEST - 1)}…` : id);
