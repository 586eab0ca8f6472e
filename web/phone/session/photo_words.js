// What is said of photos: why one was not taken, and what the server did not take.

/** Why a file did not become a photo; `why` is 'too large', 'no picture', 'no room' or 'too many'. */
export function photoFaultWords(why, bytes = 0) {
  const size = `${(bytes / 1e6).toFixed(bytes < 1e7 ? 1 : 0)} MB`;
  return {
    'too large': `That file is ${size}; a photo may have 30 MB. It was not taken, and the report is as it was.`,
    'no picture': 'That file is no picture that this phone can read. It was not taken, and the report is as it was.',
    'no room': 'This phone has no room left for the photo, so it was not taken. The report is as it was.',
    'too many': 'That is as many photos as one report can hold. Report first, then take more.',
  }[why];
}

/** The notices of photos that the server would not take, or not now; `photos` is the state of their outbox. */
export function photoNotices({ refused, fault, waiting }) {
  const told = refused.length === 0 ? [] : [`The server could not take ${many(refused.length)}: ${refused[0]} Kept on this phone.`];
  const open = waiting - refused.length;
  if (fault?.status !== undefined && open > 0) told.push(`The server did not take ${many(open)}: ${fault.detail} Kept on this phone, and sent again by itself.`);
  return told.map((words) => ({ words, danger: false }));
}

const many = (count) => `${count} ${count === 1 ? 'photo' : 'photos'}`;
