// Traces of text that became markup.
const found = [];
if (typeof hacked !== 'undefined') found.push('window.hacked is set: text from a file ran as a script; escape it');
const foreign = 'script, iframe, frame, object, embed, applet, portal, base, form, meta[http-equiv=refresh i], link, body style, foreignObject, animate, set, animateTransform';
for (const el of document.querySelectorAll(foreign)) found.push(`the page holds ${describe(el)}: escape the text that it came from, or leave it out`);
for (const el of document.querySelectorAll('*')) {
  for (const a of el.attributes) {
    if (/^on/i.test(a.name)) found.push(`${describe(el)} has the handler ${a.name}: escape the text that it came from, or leave it out`);
    if (/^\s*javascript:/i.test(a.value)) found.push(`${describe(el)} has ${a.name}="${short(a.value)}": no address may run a script`);
  }
}
return found;
