// A draft that nobody has sent yet, kept in this browser.

import { createHistory } from './draft/history.js';

/** Keep it under its bunker's name; settles with whether it could be. */
export const keepFirst = (local, doc) => local.write(doc.bunker.id, { number: 0, steps: createHistory(doc).save(), isSent: false });
