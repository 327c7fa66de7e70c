// What the edge of the sheet, or of a part of the page, cuts off on paper, where
// nothing scrolls, and what stays folded away.
const found = [];
const wide = root.clientWidth;
const cuts = (el, edge) => {
  let by = null;
  for (let up = el; up && up !== root && up !== document.body; up = up.parentElement) {
    if (up.matches('svg, img, canvas') || getComputedStyle(up).overflowX === 'visible' || getComputedStyle(up).display === 'inline') continue;
    if (edge > up.getBoundingClientRect().left + up.clientLeft + up.clientWidth + 1) by = up;
  }
  return by;
};
const things = texts().filter(({el}) => !el.ownerSVGElement).map(({el, boxes, text}) => ({el, text: piece(text, el), right: Math.max(...boxes.map(b => b.right))}));
for (const el of document.querySelectorAll('svg, img, canvas')) {
  if (!el.ownerSVGElement && shown(el)) things.push({el, text: describe(el) + figureOf(el), right: el.getBoundingClientRect().right});
}
for (const {el, text, right} of things) {
  const by = cuts(el, right);
  if (by) found.push(`${text} is cut off by ${describe(by)}, which does not scroll on paper: let it wrap, or overflow visibly, in print`);
  else if (right + scrollX > wide + 1) found.push(`${text} reaches ${Math.round(right + scrollX - wide)} pixels over the right edge of the sheet: let it shrink or wrap in print`);
}
for (const el of document.querySelectorAll('details:not([open])')) {
  if (shown(el)) found.push(`${describe(el)} is folded away on paper: open it in print, or hide it whole`);
}
return found;
