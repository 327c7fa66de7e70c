// Before the tab key is pressed: what it should reach, and what it cannot.
const want = reachables();
const found = [];
for (const el of want) if (el.tabIndex > 0) found.push(`${describe(el)} has tabindex="${el.tabIndex}", which changes the order: use 0`);

// Elements that answer to a click, which no key makes on them.
const roles = '[role=button], [role=link], [role=checkbox], [role=switch], [role=tab], [role=menuitem], [role=option], [role=slider]';
for (const el of document.querySelectorAll('body *')) {
  if (!shown(el) || el.matches('label, option, html, body')) continue;
  const answers = el.onclick || el.matches(roles) || getEventListeners(el).click;
  if (!answers || el.tabIndex >= 0 || el.closest('a[href], button, summary, label')) continue;
  found.push(`${describe(el)} answers to a click, but no key gets there: make it a button or a link`);
}

// The look of each while it has no focus. Changes must be seen at once.
const still = new CSSStyleSheet();
still.replaceSync('*, *::before, *::after { transition: none !important; animation: none !important; scroll-behavior: auto !important; }');
document.adoptedStyleSheets = [...document.adoptedStyleSheets, still];
const look = el => ['', '::before', '::after'].map(part => {
  const s = getComputedStyle(el, part || undefined);
  const unseen = s.outlineStyle === 'none' || (s.outlineStyle !== 'auto' && parseFloat(s.outlineWidth) === 0) || /^rgba\(.*, 0\)$|\/ 0\)$/.test(s.outlineColor);
  const outline = unseen ? 'none' : `${s.outlineStyle} ${s.outlineWidth} ${s.outlineColor}`;
  return [outline, s.boxShadow, s.border, s.backgroundColor, s.backgroundImage, s.color, s.textDecorationLine, part && s.content].join('|');
}).join('||');
document.activeElement?.blur();
const plain = new Map(want.map(el => [el, look(el)]));

const log = [];
const note = e => {
  const at = want.indexOf(e.target);
  log.push({at, what: describe(e.target), marked: !plain.has(e.target) || look(e.target) !== plain.get(e.target), onPage: shown(e.target)});
};
document.addEventListener('focusin', note, true);

// The key starts from the top of the page.
const start = document.createElement('span');
start.tabIndex = -1;
document.body.prepend(start);
start.focus({preventScroll: true});
start.remove();
log.length = 0;

globalThis.plectraceKeyboard = {
  end() {
    document.removeEventListener('focusin', note, true);
    document.adoptedStyleSheets = document.adoptedStyleSheets.filter(s => s !== still);
    delete globalThis.plectraceKeyboard;
    return {log, last: want.indexOf(document.activeElement)};
  },
};

// The link past what stands before the content.
const main = document.querySelector('main, [role=main]');
const before = main ? want.filter(el => el.compareDocumentPosition(main) & Node.DOCUMENT_POSITION_FOLLOWING) : [];
const first = before[0]?.matches('a[href^="#"]') ? document.getElementById(decodeURIComponent(before[0].getAttribute('href').slice(1))) : null;
const skips = !!first && first.contains(main);
if (before.length > 1 && !skips) found.push(`${before.length} stops stand before the content, beginning with ${describe(before[0])}: begin the page with a link to its main element`);
return {want: want.map(describe), found, skips};
