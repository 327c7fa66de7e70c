// The colours of each visible text and of what lies behind it. Colours are red,
// green, blue (0 to 255) and opacity (0 to 1); layers begin right behind the text
// and end with an opaque one.
const canvas = new OffscreenCanvas(1, 1).getContext('2d', {willReadFrequently: true});
const known = new Map();
const rgba = css => {
  if (!known.has(css)) {
    canvas.clearRect(0, 0, 1, 1);
    canvas.fillStyle = css;
    canvas.fillRect(0, 0, 1, 1);
    const [r, g, b, a] = canvas.getImageData(0, 0, 1, 1).data;
    known.set(css, [r, g, b, a / 255]);
  }
  return known.get(css);
};
const faded = ([r, g, b, a], by) => [r, g, b, a * by];

// opacity of an element as a part of the page.
const opacity = el => {
  let all = 1;
  for (let up = el; up; up = up.parentElement) all *= Number(getComputedStyle(up).opacity);
  return all;
};

const paper = [255, 255, 255, 1];

// behind adds the backgrounds of an element and of what it stands in.
const behind = (el, layers) => {
  for (let up = el; up; up = up.parentElement) {
    if (layers.length && layers.at(-1)[3] >= 1) return '';
    const style = getComputedStyle(up);
    if (up instanceof SVGElement && up.ownerSVGElement) continue;
    if (style.backgroundImage !== 'none') return `${describe(up)} has a picture or a gradient behind it`;
    const colour = faded(rgba(style.backgroundColor), opacity(up));
    if (colour[3] > 0) layers.push(colour);
  }
  layers.push(paper);
  return '';
};

// filled reports whether a shape's inside, not its line, is at a point of the screen.
const filled = (shape, x, y) => {
  if (!(shape instanceof SVGGeometryElement) || getComputedStyle(shape).fill === 'none') return false;
  return shape.isPointInFill(new DOMPoint(x, y).matrixTransform(shape.getScreenCTM().inverse()));
};
const fill = shape => {
  const style = getComputedStyle(shape);
  return faded(rgba(style.fill), Number(style.fillOpacity) * opacity(shape));
};

const out = [];
const home = [scrollX, scrollY];
for (const {el, boxes, text, size} of texts()) {
  const style = getComputedStyle(el), bold = Number(style.fontWeight) >= 700;
  const say = (colour, layers, unclear) => out.push({what: piece(text, el), size, bold, colour, layers, unclear});
  if (!el.ownerSVGElement) {
    const layers = [], unclear = behind(el, layers);
    say(faded(rgba(style.color), opacity(el)), layers, unclear);
    continue;
  }
  if (style.fill.startsWith('url')) {
    say(paper, [paper], 'its fill is no plain colour');
    continue;
  }
  const colour = fill(el);
  if (style.paintOrder.startsWith('stroke') && style.stroke !== 'none' && parseFloat(style.strokeWidth) >= 2) {
    const layers = [faded(rgba(style.stroke), Number(style.strokeOpacity) * opacity(el))]; // a halo
    say(colour, layers, behind(outermost(el), layers));
    continue;
  }
  // Three points of its middle line, on the screen.
  const svg = outermost(el);
  let box = el.getBoundingClientRect();
  if (box.top < 0 || box.bottom > innerHeight || box.left < 0 || box.right > innerWidth) {
    el.scrollIntoView({block: 'center', inline: 'nearest', behavior: 'instant'});
    box = el.getBoundingClientRect();
  }
  for (const at of [0.2, 0.5, 0.8]) {
    const across = box.width >= box.height;
    const x = box.left + box.width * (across ? at : 0.5), y = box.top + box.height * (across ? 0.5 : at);
    const hit = document.elementsFromPoint(x, y).filter(e => svg.contains(e) && (filled(e, x, y) || el.contains(e) || e.contains(el)));
    const own = hit.findIndex(e => el.contains(e) || (e.contains(el) && e.localName === 'text'));
    const over = hit.slice(0, Math.max(0, own)).find(e => fill(e)[3] > 0.3);
    const layers = [];
    for (const shape of hit.slice(own + 1)) {
      if (layers.length && layers.at(-1)[3] >= 1) break;
      if (filled(shape, x, y) && fill(shape)[3] > 0) layers.push(fill(shape));
    }
    const unclear = behind(svg, layers);
    say(colour, layers, over ? `a shape lies over it` : unclear);
  }
}
scrollTo(...home);
return out;
