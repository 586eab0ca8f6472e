// What the head of the document tells the phone: the page's name, and how to put the site on the home screen.

import { el } from './element.js';

/** Name the page, and link the manifest of its site once. */
export function describePage(title, manifestUrl) {
  document.title = title;
  if (document.head.querySelector('link[rel=manifest]') === null) document.head.append(el('link', { rel: 'manifest', href: manifestUrl }));
}
