// What the checks share. Each check runs as the rest of one function after this.

const root = document.documentElement;

const short = (text, most = 40) => {
  const line = text.replace(/\s+/g, ' ').trim();
  return line.length > most ? line.slice(0, most - 1) + '…' : line;
};

// figureOf names the drawing that an element is part of.
const figureOf = el => {
  const svg = outermost(el);
  if (!svg) return '';
  const named = svg.closest('[role=img]') || svg;
  const name = named.getAttribute('aria-label') || svg.querySelector('title')?.textContent || '';
  return name ? ` of the figure "${short(name)}"` : ' of a figure without a name';
};

// describe says which element, so that a person finds it.
const describe = el => {
  let what = el.localName;
  if (el.id) what += '#' + el.id;
  const classes = el.getAttribute('class');
  if (classes) what += '.' + classes.trim().split(/\s+/).join('.');
  const text = short(el.textContent || '');
  if (text && el.localName !== 'svg' && el.localName !== 'style' && el !== document.body && el !== root) what += ` "${text}"`;
  if (el.ownerSVGElement) return what + figureOf(el);
  let above = null;
  for (const h of document.querySelectorAll('h1, h2, h3, h4, h5, h6')) {
    if (h !== el && !el.contains(h) && h.compareDocumentPosition(el) & Node.DOCUMENT_POSITION_FOLLOWING) above = h;
  }
  return above ? `${what} under "${short(above.textContent)}"` : what;
};

// piece says which text.
const piece = (text, el) => short(el.textContent) === text ? describe(el) : `"${text}" in ${describe(el)}`;

const outermost = el => {
  let svg = el.localName === 'svg' ? el : el.ownerSVGElement;
  while (svg?.ownerSVGElement) svg = svg.ownerSVGElement;
  return svg;
};

// shown reports whether an element is on the page for the eye: drawn, not off the
// page to the left or above, not shrunk to a dot for screen readers.
const shown = el => {
  if (!el.checkVisibility({opacityProperty: true, visibilityProperty: true})) return false;
  const box = el.getBoundingClientRect();
  if (box.right + scrollX <= 0 || box.bottom + scrollY <= 0) return false;
  for (let up = el; up && up !== document.body; up = up.parentElement) {
    const style = getComputedStyle(up);
    if (style.clipPath.startsWith('inset(50%') || style.clipPath.startsWith('inset(100%')) return false;
    if (/^(hidden|clip)/.test(style.overflow) && !up.ownerSVGElement && up.clientWidth <= 1 && up.clientHeight <= 1 && up.offsetWidth) return false;
  }
  return true;
};

// scaleOf is how many pixels on the screen a CSS pixel of an element takes.
const scaleOf = el => {
  let scale = 1;
  const drawn = el.ownerSVGElement;
  if (drawn) {
    const m = el.closest('text').getScreenCTM();
    return Math.sqrt(Math.abs(m.a * m.d - m.b * m.c));
  }
  for (let up = el; up; up = up.parentElement) {
    const transform = getComputedStyle(up).transform;
    if (transform !== 'none') {
      const m = new DOMMatrix(transform);
      scale *= Math.sqrt(Math.abs(m.a * m.d - m.b * m.c));
    }
  }
  return scale * (el.currentCSSZoom || 1);
};

// texts are the pieces of text that can be seen: the element that each stands in,
// the boxes that it takes and its size in pixels on the screen.
const texts = () => {
  const all = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const seen = new Map();
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    if (!node.data.trim()) continue;
    const el = node.parentElement;
    if (el.ownerSVGElement && !el.closest('text')) continue;
    if (!seen.has(el)) seen.set(el, shown(el));
    if (!seen.get(el)) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const boxes = [...range.getClientRects()].filter(b => b.width > 0 && b.height > 0);
    if (!boxes.length) continue;
    all.push({el, boxes, text: short(node.data), size: parseFloat(getComputedStyle(el).fontSize) * scaleOf(el)});
  }
  return all;
};

// reachable reports whether the tab key should come to an element.
const reachable = el => {
  if (el.tabIndex < 0 || el.disabled || el.closest('[inert]')) return false;
  if (el.localName === 'summary' && el.parentElement?.querySelector(':scope > summary') !== el) return false;
  if (el.type === 'radio' && el.name) {
    const group = [...document.querySelectorAll(`input[type=radio][name="${CSS.escape(el.name)}"]`)];
    if (el !== (group.find(r => r.checked) || group[0])) return false;
  }
  return el.checkVisibility({visibilityProperty: true});
};

const usable = 'a[href], area[href], button, input:not([type=hidden]), select, textarea, summary, iframe, audio[controls], video[controls], [contenteditable=""], [contenteditable=true], [tabindex]';

const reachables = () => [...document.querySelectorAll(usable)].filter(reachable);

// scrolls tells along which axes an element is a window on something larger.
const scrolls = el => {
  const style = getComputedStyle(el);
  const can = value => value === 'auto' || value === 'scroll';
  return {
    x: can(style.overflowX) && el.scrollWidth > el.clientWidth + 1,
    y: can(style.overflowY) && el.scrollHeight > el.clientHeight + 1,
  };
};
