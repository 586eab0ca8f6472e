/* What a set-out sheet says, and what is wrong with it on paper: words on words, points or lines of the plan, and
   words that are cut or stick out. Evaluated in a page that is shown as it prints. */
() => {
  const all = (selector, inside = document) => [...inside.querySelectorAll(selector)];
  const rect = (one) => one.getBoundingClientRect();
  const faults = new Set();

  const over = (a, b, by) =>
    a.left < b.right - by && b.left < a.right - by && a.top < b.bottom - by && b.top < a.bottom - by;
  const isIn = (at, box, by) =>
    at.x > box.left + by && at.x < box.right - by && at.y > box.top + by && at.y < box.bottom - by;

  /* The box of a text as high as its capitals, not as its line. */
  const inked = (one) => {
    const { left, right, top, bottom } = rect(one);
    const less = ((bottom - top) / Math.max(1, one.querySelectorAll('tspan').length)) * 0.16;
    return { one, words: one.textContent, left, right, top: top + less, bottom: bottom - less };
  };

  const onThePlan = () => {
    const plan = document.querySelector('.of-setting-out svg');
    const frame = rect(document.querySelector('.neat'));
    const boxes = all('text', plan).filter((one) => !one.closest('.across')).map(inked);
    const dots = all('.dot, .peg', plan).map(rect);
    boxes.forEach((box, at) => {
      if (box.left < frame.left || box.right > frame.right || box.top < frame.top || box.bottom > frame.bottom) {
        faults.add(`${box.words} stands out of the plan`);
      }
      for (const other of boxes.slice(at + 1)) {
        if (over(box, other, 0.3)) faults.add(`${box.words} stands on ${other.words}`);
      }
      if (dots.some((dot) => over(box, dot, 0.3))) faults.add(`${box.words} stands on a point`);
    });
    for (const path of all('path.part, path.play, path.thing, path.near, path.leader', plan)) {
      const to = path.getScreenCTM();
      for (let run = 0; run < path.getTotalLength(); run += 3) {
        const at = path.getPointAtLength(run).matrixTransform(to);
        for (const box of boxes) {
          const isOwn = box.one.previousElementSibling === path;
          if (isIn(at, box, isOwn ? 1 : 0.3)) faults.add(`${box.words} stands on ${path.getAttribute('class')}`);
        }
      }
    }
  };

  const cut = () => {
    const boxes = '.title-block-sheet > div, .title-strip, .title-strip span, .sheet-head, .drawn-key, .drawn-key li, '
      + '.drawn-notes, .drawn-column';
    for (const one of all(boxes)) {
      if (one.scrollHeight > one.clientHeight + 1 || one.scrollWidth > one.clientWidth + 1) {
        faults.add(`${one.className || one.tagName} is cut: ${one.textContent.trim().slice(0, 60)}`);
      }
    }
    for (const sheet of all('.drawn')) {
      const whole = rect(sheet);
      const parts = [...sheet.children].map((one) => ({ name: one.className, box: rect(one) }));
      parts.forEach(({ name, box }, at) => {
        if (box.bottom > whole.bottom + 0.5 || box.right > whole.right + 0.5) faults.add(`${name} sticks out`);
        for (const other of parts.slice(at + 1)) {
          if (over(box, other.box, 0.5)) faults.add(`${name} lies over ${other.name}`);
        }
      });
    }
    for (const column of all('.drawn-column')) {
      const its = rect(column);
      for (const one of all('th, td, p, h3', column)) {
        const box = rect(one);
        if (box.right > its.right + 0.5 || box.bottom > its.bottom + 0.5) {
          faults.add(`${one.textContent} sticks out of its column`);
        }
      }
    }
  };

  const cells = (row) => [...row.children].map((cell) => cell.textContent);
  const words = (selector) => document.querySelector(selector).textContent;
  const tables = all('.part-of-table').map((one) => [one.querySelector('h3').textContent, all('tbody tr', one).map(cells)]);
  onThePlan();
  cut();
  const said = {
    sheets: all('.drawn').length,
    number: words('.of-number b'),
    scale: words('.of-scale b'),
    bar: words('.bar-end'),
    across: all('.across text').map((one) => one.textContent),
    tables,
  };
  return [said, [...faults]];
}
