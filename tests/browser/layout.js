// What is wrong with the layout of a page as it stands: an array of sentences, empty when nothing is.
//
// options: {least: smallest side of a touch target, px; targets: selector of what is touched; root: selector of the part
// looked at; frames: selector of what may scroll sideways by itself}. Nothing may lie over something else's words, no words
// may be cut off, nothing may stick out at the side, and every target must be large enough. Where the page scrolls, what
// sticks to its foot may cover what scrolls beneath.
(options) => {
  const { least = 56, targets = 'button, a[href], input, select, [role=button]', root = 'body', frames = 'none' } = options ?? {};
  const INK = 0.14;
  const faults = [];
  const known = new Map();
  const modal = [...document.querySelectorAll('dialog[open]')].at(-1);
  const part = modal ?? document.querySelector(root);
  const name = (e) => `${e.tagName.toLowerCase()}.${String(e.className.baseVal ?? e.className).split(' ').join('.')} "${(e.textContent ?? '').trim().slice(0, 30)}"`;
  const styleOf = (e) => getComputedStyle(e);
  const isShown = (e) => e.getClientRects().length > 0 && e.checkVisibility({ visibilityProperty: true }) && !e.closest('svg');
  const isFramed = (e) => e.parentElement?.closest(frames) != null;
  const all = [...part.querySelectorAll('*')].filter(isShown);
  if (document.documentElement.scrollWidth > innerWidth) faults.push(`the page scrolls sideways by ${document.documentElement.scrollWidth - innerWidth} px`);

  for (const e of all) {
    const { left, right } = e.getBoundingClientRect();
    if (!isFramed(e) && (right > innerWidth + 0.5 || left < -0.5)) faults.push(`sticks out at the side: ${name(e)}`);
    const { overflowX, overflowY } = styleOf(e);
    const [wide, high] = [e.scrollWidth - e.clientWidth, e.scrollHeight - e.clientHeight];
    if (e.clientWidth > 0 && wide > 1 && ['hidden', 'clip'].includes(overflowX) && hasWords(e)) faults.push(`cut at the side by ${wide} px: ${name(e)}`);
    if (e.clientHeight > 0 && high > 1 && ['hidden', 'clip'].includes(overflowY) && hasWords(e) && !isClamped(e)) faults.push(`cut at the foot by ${high} px: ${name(e)}`);
    if (e.matches('textarea') && high > 1) faults.push(`cut at the foot by ${high} px: ${name(e)}`);
  }

  for (const e of all.filter((one) => one.matches(targets))) {
    const { width, height } = (e.closest('label') ?? e).getBoundingClientRect();
    if (Math.min(width, height) < least - 0.01) faults.push(`only ${width.toFixed(0)} x ${height.toFixed(0)} px: ${name(e)}`);
  }

  const words = textBoxes(all);
  for (const e of all.filter((one) => styleOf(one).overflow === 'visible' && (['BUTTON', 'A'].includes(one.tagName) || isBox(one)))) {
    const box = e.getBoundingClientRect();
    const out = words.find((one) => e.contains(one.element) && !(one.scroller && e.contains(one.scroller)) && (one.bottom > box.bottom + 1 || one.top < box.top - 1 || one.right > box.right + 1 || one.left < box.left - 1));
    if (out) faults.push(`words stick out of ${name(e)}`);
  }
  for (let i = 0; i < words.length; i += 1) {
    for (let j = i + 1; j < words.length; j += 1) {
      const [a, b] = [words[i], words[j]];
      if (a.layer !== b.layer || a.scroller !== b.scroller || a.element === b.element) continue;
      const [w, h] = [Math.min(a.right, b.right) - Math.max(a.left, b.left), Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top)];
      if (w > 2 && h > 2) faults.push(`${name(a.element)} lies over ${name(b.element)}`);
    }
  }
  return [...new Set(faults)];

  /** Whether it is drawn as a box, with an edge on either side. */
  function isBox(e) {
    const { borderLeftWidth, borderRightWidth } = styleOf(e);
    return parseFloat(borderLeftWidth) > 0 && parseFloat(borderRightWidth) > 0;
  }

  /** Words that may be cut at a whole line, since the whole of them is a tap away. */
  function isClamped(e) {
    return styleOf(e).webkitLineClamp !== 'none';
  }

  function hasWords(e) {
    return (e.textContent ?? '').trim() !== '' && !e.matches('.ground, dialog');
  }

  /** The boxes of all words; `layer` is the part that sticks, or none; `scroller` the part that scrolls by itself. */
  function textBoxes(elements) {
    return elements.flatMap((element) => [...element.childNodes]
      .filter((node) => node.nodeType === Node.TEXT_NODE && node.data.trim() !== '')
      .flatMap((node) => {
        const range = document.createRange();
        range.selectNodeContents(node);
        const { layer, scroller } = about(element);
        // A line of text is drawn within about the middle 72 % of its font's box.
        return [...range.getClientRects()].map(({ left, right, top, bottom, height }) => ({
          element, left, right, top: top + height * INK, bottom: bottom - height * INK, layer, scroller,
        }));
      }));
  }

  /** The nearest part around an element that sticks, and the nearest that scrolls; asked once of each element. */
  function about(element) {
    if (element === null) return { layer: null, scroller: null };
    if (!known.has(element)) {
      const { position, overflowY } = styleOf(element);
      const sticks = ['sticky', 'fixed'].includes(position);
      const scrolls = element.matches(frames) || (['auto', 'scroll'].includes(overflowY) && element.scrollHeight > element.clientHeight + 1);
      const outer = sticks && scrolls ? null : about(element.parentElement);
      known.set(element, { layer: sticks ? element : outer.layer, scroller: scrolls ? element : outer.scroller });
    }
    return known.get(element);
  }
}
