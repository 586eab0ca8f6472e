// What covers boots, target ring and number of the point in the picture: {faults: sentences, share: grass of the height}.
() => {
  const SLACK = 1.5;
  const boxes = (selector) => [...document.querySelectorAll(selector)]
    .filter((e) => e.getClientRects().length > 0 && !e.closest('[hidden]') && (e.textContent !== '' || e.tagName !== 'text'))
    .map((e) => ({ name: `${selector} "${(e.textContent ?? '').trim()}"`, ...sides(e) }));
  const sides = (e) => {
    const { left, top, right, bottom, height } = e.getBoundingClientRect();
    const ink = e.tagName === 'text' ? height * 0.16 : 0;
    return { left, top: top + ink, right, bottom: bottom - ink };
  };
  const meet = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > SLACK && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > SLACK;
  const ground = sides(document.querySelector('.ground'));
  const [boots, ring, number] = ['.boots', '.target-ring', '.target-number'].map(boxes);
  const labels = ['.radius-plate', '.play-sign', '.scale-line', '.scale-text', '.numbers text', '.others text', '.pegs text'].flatMap(boxes);
  const seen = [...boots, ...ring, ...number];
  const faults = [];
  for (const one of seen) {
    if (one.left < ground.left || one.right > ground.right || one.top < ground.top || one.bottom > ground.bottom) faults.push(`${one.name} is not whole in the picture`);
    for (const label of labels) if (meet(one, label)) faults.push(`${label.name} lies over ${one.name}`);
  }
  for (const one of number) for (const other of [...boots, ...ring]) if (meet(one, other)) faults.push(`${one.name} lies over ${other.name}`);
  labels.forEach((one, i) => labels.slice(i + 1).forEach((other) => { if (one.name.includes('text') && meet(one, other)) faults.push(`${one.name} lies over ${other.name}`); }));
  for (const one of labels) if (one.left < ground.left - SLACK || one.right > ground.right + SLACK || one.top < ground.top - SLACK || one.bottom > ground.bottom + SLACK) faults.push(`${one.name} is cut off`);
  return { faults, share: (ground.bottom - ground.top) / innerHeight, seen: seen.length };
}
