// The page's own margins on paper, in CSS pixels: left and right, if it states them.
const px = css => {
  const at = document.createElement('div');
  at.style.cssText = 'position: absolute; visibility: hidden; width: ' + css;
  document.body.append(at);
  const width = parseFloat(getComputedStyle(at).width);
  at.remove();
  return width;
};
const margins = {left: null, right: null, size: ''};
const look = rules => {
  for (const rule of rules) {
    if (rule instanceof CSSMediaRule && matchMedia(rule.conditionText).matches) look(rule.cssRules);
    if (!(rule instanceof CSSPageRule) || rule.selectorText) continue;
    if (rule.style.size) margins.size = rule.style.size;
    if (rule.style.marginLeft) margins.left = px(rule.style.marginLeft);
    if (rule.style.marginRight) margins.right = px(rule.style.marginRight);
  }
};
for (const sheet of document.styleSheets) {
  try { look(sheet.cssRules); } catch {} // of another origin: a request, found elsewhere
}
return margins;
