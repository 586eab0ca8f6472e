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

/** Put an SVG text at a place in pixels: by its own place, since a transform of its own makes every frame dearer. */
export function setPlace(text, px, py) {
  setAttribute(text, 'x', px.toFixed(1));
  setAttribute(text, 'y', py.toFixed(1));
}

/** Make `parent` hold exactly `count` children, made by `make(index)`; returns them. */
export function keepChildren(parent, count, make) {
  for (let held = parent.childElementCount; held !== count; held = parent.childElementCount) {
    if (held > count) parent.lastElementChild.remove();
    else parent.append(make(held));
  }
  const children = [];
  for (let child = parent.firstElementChild; child !== null; child = child.nextElementSibling) children.push(child);
  return children;
}
