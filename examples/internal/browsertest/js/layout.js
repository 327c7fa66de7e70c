// What can be read at this width.
const found = [];
const wide = root.clientWidth;

// The page itself.
if (root.scrollWidth > wide) {
  const contained = el => {
    for (let up = el.parentElement; up && up !== document.body; up = up.parentElement) {
      if (getComputedStyle(up).overflowX !== 'visible') return true;
    }
    return false;
  };
  const beyond = [...document.body.querySelectorAll('*')]
    .filter(el => !el.ownerSVGElement && el.getBoundingClientRect().right + scrollX > wide + 0.5 && !contained(el));
  const innermost = beyond.filter(el => !beyond.some(other => other !== el && el.contains(other)));
  const names = innermost.slice(0, 3).map(describe).join('; ') || 'something';
  found.push(`the page is ${root.scrollWidth} pixels wide where ${wide} are to be had, for ${names}: let it shrink, wrap or scroll by itself`);
}

// Parts that scroll.
for (const el of document.body.querySelectorAll('*')) {
  if (el.ownerSVGElement || !el.checkVisibility()) continue;
  const by = scrolls(el);
  if (!by.x && !by.y) continue;
  if (el.hasAttribute('tabindex') && el.tabIndex >= 0) continue;
  if (![...el.querySelectorAll(usable)].some(reachable)) found.push(`${describe(el)} scrolls, but no key gets there: give it tabindex="0", a role and a name`);
}

// cut returns the element that hides part of a box, if one does.
const cut = (el, box) => {
  let {left, right, top, bottom} = box;
  let position = 'static'; // of what is within up
  for (let up = el; up && up !== root; up = up.parentElement) {
    if (position === 'fixed') return null;
    const style = getComputedStyle(up);
    if (position === 'absolute' && style.position === 'static' && style.transform === 'none') continue;
    position = style.position;
    if (style.display === 'inline') continue; // a piece of a line is no window
    if (up === document.body && getComputedStyle(root).overflowX === 'visible') continue; // its overflow is the page's
    const b = up.getBoundingClientRect(), inner = {
      left: b.left + up.clientLeft, top: b.top + up.clientTop,
      right: b.left + up.clientLeft + up.clientWidth, bottom: b.top + up.clientTop + up.clientHeight,
    };
    const hides = value => value === 'hidden' || value === 'clip', passes = value => value === 'visible';
    const spare = 0.25 * (bottom - top); // lines may be set closer than the font's own height
    if (hides(style.overflowX) && (left < inner.left - 1 || right > inner.right + 1)) return up;
    if (hides(style.overflowY) && (top < inner.top - spare || bottom > inner.bottom + spare)) return up;
    // What has been scrolled away is not cut off; only the rest goes on to be.
    if (!passes(style.overflowX)) [left, right] = [Math.max(left, inner.left), Math.min(right, inner.right)];
    if (!passes(style.overflowY)) [top, bottom] = [Math.max(top, inner.top), Math.min(bottom, inner.bottom)];
    if (left >= right || top >= bottom) return null;
  }
  return left + scrollX < -1 ? root : null;
};

const all = texts();
for (const {el, boxes, text, size} of all) {
  if (size < 10.95) found.push(`${piece(text, el)} is ${size.toFixed(1)} pixels high: 11 are the least that people read`);
  if (el.ownerSVGElement) continue;
  for (const box of boxes) {
    const by = cut(el, box);
    if (!by) continue;
    found.push(`${piece(text, el)} is cut off by ${by === root ? "the page's left edge" : describe(by)}: give it room, or let it wrap`);
    break;
  }
}

// quad returns the corners of a text of a drawing on the screen, a little inside the
// font's own box, which is higher than the letters are.
const quad = el => {
  const b = el.getBBox(), m = el.getScreenCTM();
  const x0 = b.x + 0.02 * b.height, x1 = b.x + b.width - 0.02 * b.height, y0 = b.y + 0.16 * b.height, y1 = b.y + 0.9 * b.height;
  return [[x0, y0], [x1, y0], [x1, y1], [x0, y1]].map(([x, y]) => new DOMPoint(x, y).matrixTransform(m));
};

// apart reports whether a line parts two quadrangles: one along a side of either.
const apart = (a, b) => {
  for (const q of [a, b]) {
    for (let i = 0; i < 2; i++) {
      const nx = q[i + 1].y - q[i].y, ny = q[i].x - q[i + 1].x;
      const along = p => p.map(({x, y}) => nx * x + ny * y);
      const pa = along(a), pb = along(b), slack = 0.5 * Math.hypot(nx, ny);
      if (Math.max(...pa) < Math.min(...pb) + slack || Math.max(...pb) < Math.min(...pa) + slack) return true;
    }
  }
  return false;
};

// Drawings.
const drawings = new Map();
for (const {el} of all) {
  const svg = el.ownerSVGElement && outermost(el);
  if (!svg) continue;
  if (!drawings.has(svg)) drawings.set(svg, new Set());
  drawings.get(svg).add(el.closest('text'));
}
for (const [svg, set] of drawings) {
  const sheet = svg.getBoundingClientRect();
  const labels = [...set].map(el => ({el, q: quad(el)}));
  labels.forEach(({el, q}, i) => {
    const xs = q.map(p => p.x), ys = q.map(p => p.y);
    if (Math.min(...xs) < sheet.left - 1 || Math.max(...xs) > sheet.right + 1 || Math.min(...ys) < sheet.top - 1 || Math.max(...ys) > sheet.bottom + 1) {
      found.push(`${describe(el)} stands out over the drawing's edge: give it room`);
    }
    for (const other of labels.slice(i + 1)) {
      if (!apart(q, other.q)) found.push(`${describe(el)} stands over "${short(other.el.textContent)}": move one`);
    }
  });
}
return found;
