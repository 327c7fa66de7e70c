// What would be fetched later: pictures further down, hints, style sheets' pictures
// and fonts, what a click on a form's button sends.
const found = [];
const outside = address => {
  const a = address.trim();
  return a !== '' && !/^(#|about:blank$)/i.test(a) && !/^data:[^,]*,./is.test(a);
};
const say = (el, attr, address) => found.push(`${describe(el)} has ${attr}="${short(address, 60)}": embed it, or leave it out`);
const fetched = {
  src: 'img, script, iframe, frame, embed, audio, video, source, track, input',
  href: 'link, image, use, feImage, pattern, linearGradient, radialGradient',
  'xlink:href': 'image, use, feImage, script',
  data: 'object', poster: 'video', action: 'form', formaction: 'button, input', background: 'body, table, td', ping: 'a',
};
for (const [attr, elements] of Object.entries(fetched)) {
  for (const el of document.querySelectorAll(elements)) {
    const value = el.getAttribute(attr);
    if (value !== null && outside(value)) say(el, attr, value);
  }
}
for (const el of document.querySelectorAll('img[srcset], source[srcset]')) {
  // Candidates are parted by commas and spaces; a data address holds a comma of its own.
  for (const candidate of el.srcset.split(/,\s+/)) {
    const address = candidate.trim().split(/\s+/)[0];
    if (outside(address)) say(el, 'srcset', address);
  }
}
const addresses = css => [...css.matchAll(/url\(\s*(?:"([^"]*)"|'([^']*)'|([^)]*))\s*\)/g)].map(m => m[1] ?? m[2] ?? m[3]);
for (const sheet of document.styleSheets) {
  let rules = [];
  try { rules = sheet.cssRules; } catch { continue; } // of another origin: its link is found above
  for (const rule of rules) {
    if (rule instanceof CSSImportRule && outside(rule.href)) found.push(`a style sheet imports ${rule.href}: embed it, or leave it out`);
    else for (const a of addresses(rule.cssText)) if (outside(a)) found.push(`a style sheet asks for ${a}: embed it, or leave it out`);
  }
}
for (const el of document.querySelectorAll('[style]')) {
  for (const a of addresses(el.getAttribute('style'))) if (outside(a)) say(el, 'style', a);
}
return found;
