// The elements that need a name, and what the browser makes of each is asked for
// one by one.
const pictures = [...document.querySelectorAll('svg, img, canvas, [role=img]')]
  .filter(el => !el.ownerSVGElement && shown(el))
  .map(el => el.closest('[role=img]') || el);
const tables = [...document.querySelectorAll('table')].filter(shown);
const controls = [...document.querySelectorAll('a[href], button, summary, input:not([type=hidden]), select, textarea, [role=region], [role=button], [role=link]')]
  .filter(el => el.checkVisibility({visibilityProperty: true}));
return [...new Set([...pictures, ...tables, ...controls])];
