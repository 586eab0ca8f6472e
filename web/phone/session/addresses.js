// The addresses of a site, told from the page's own: whatever comes before the part that is ours is the path of a proxy.

const OWN = /^(.*)\/(?:sites\/([^/]+)\/(?:set-out|pegs)\/([^/]+)|sites\/([^/]+)\/places|field\/([^/]+))$/;

/** Addresses for the page at a path, `bunker` null on the page of a whole site; null where the path is neither. */
export function addressesOf(path) {
  const found = OWN.exec(path);
  if (found === null) return null;
  const [, root, setOutSite, bunker, placesSite, fieldSite] = found;
  const site = setOutSite ?? placesSite ?? fieldSite;
  return {
    root, site, bunker: bunker ?? null,
    field: `${root}/field/${site}`,
    sitePage: `${root}/sites/${site}`,
    places: `${root}/sites/${site}/places`,
    index: `${root}/api/sites/${site}/field`,
    records: `${root}/api/sites/${site}/records`,
    clock: `${root}/api/clock`,
    me: `${root}/api/me`,
    trust: `${root}/trust`,
    manifest: `${root}/manifest.webmanifest?site=${site}`,
    worker: `${root}/sw.js`,
    scope: `${root}/`,
    setOut: (id) => `${root}/sites/${site}/set-out/${id}`,
    pegs: (id) => `${root}/sites/${site}/pegs/${id}`,
    photo: (id) => `${root}/api/sites/${site}/photos/${id}`,
  };
}
