// Making and changing elements without markup strings, so that no data is ever read as markup.

const SVG = 'http://www.w3.org/2000/svg';

/** An HTML element: el('button', {class: 'tool', onclick: f}, 'Undo'). Functions become listeners, the rest attributes. */
export function el(tag, properties = {}, ...children) {
  return filled(document.createElement(tag), properties, children);
}

/** An SVG element, the same way. */
export function svg(tag, properties = {}, ...children) {
  return filled(document.createElementNS(SVG, tag), properties, children);
}

function filled(node, properties, children) {
  for (const [name, value] of Object.entries(properties)) {
    if (typeof value === 'function') node.addEventListener(name.slice(2), value);
    else if (value === true) node.setAttribute(name, '');
    else if (value !== false && value !== null && value !== undefined) node.setAttribute(name, value);
  }
  node.append(...children);
  return node;
}

/** Set the text of an element that holds nothing else, only when it changed; its text node stays, which costs no new style. */
export function setText(node, text) {
  const held = node.firstChild;
  if (held === null) node.append(text);
  else if (held.data !== text) held.data = text;
}

/** Set an attribute only when it changed; null takes it away. */
export function setAttribute(node, name, value) {
  if (value === null) node.removeAttribute(name);
  else if (node.getAttribute(name) !== String(value)) node.setAttribute(name, value);
}

/** Make `parent` hold exactly `count` children, made by `make(index)`; returns them. */
export function keepChildren(parent, count, make) {
  while (parent.children.length > count) parent.lastChild.remove();
  while (parent.children.length < count) parent.append(make(parent.children.length));
  return [...parent.children];
}
