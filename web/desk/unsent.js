// The page on which a draft is issued: tells of changes that this browser holds and the server may not have.

import { createLocal } from './post/local.js';

const told = document.getElementById('unsent');

/** Asked again whenever the page is looked at, since the drawing board may have sent them meanwhile. */
async function tell() {
  const { site, bunker } = told.dataset;
  const kept = await createLocal(site).read(bunker).catch(() => undefined);
  told.hidden = !kept || kept.isSent;
}

addEventListener('pageshow', tell);
document.addEventListener('visibilitychange', tell);
tell();
