// The page's frame: language, title, landmarks, headings, links within it.
const found = [];
if (!/^[a-z]{2,3}(-[A-Za-z0-9]+)*$/.test(root.lang)) found.push(`the html element's lang is "${root.lang}": name the language of the text`);
if (!document.title.trim()) found.push('the page has no title: give it one that tells it from others');

const mains = document.querySelectorAll('main, [role=main]').length;
if (mains !== 1) found.push(`the page has ${mains} main elements: put the content into one`);

const heads = [...document.querySelectorAll('h1, h2, h3, h4, h5, h6')].filter(h => h.checkVisibility());
const level = h => Number(h.localName[1]);
const ones = heads.filter(h => level(h) === 1);
if (ones.length !== 1) found.push(`the page has ${ones.length} h1: it needs one, its title`);
if (heads.length && level(heads[0]) !== 1) found.push(`the first heading is ${describe(heads[0])}: begin with the h1`);
if (!heads.some(h => level(h) === 2)) found.push('the page has no h2: name its parts');
heads.forEach((h, i) => {
  if (!h.textContent.trim()) found.push(`heading ${i + 1} (${h.localName}) is empty: say what follows, or leave it out`);
  if (i && level(h) > level(heads[i - 1]) + 1) found.push(`${describe(h)} leaps from h${level(heads[i - 1])}: use h${level(heads[i - 1]) + 1}`);
});

const ids = new Map();
for (const el of document.querySelectorAll('[id]')) ids.set(el.id, (ids.get(el.id) || 0) + 1);
for (const [id, n] of ids) if (n > 1) found.push(`the id "${id}" is given ${n} times: give it once`);
for (const a of document.querySelectorAll('a[href^="#"]')) {
  const id = decodeURIComponent(a.getAttribute('href').slice(1));
  if (id && !document.getElementById(id)) found.push(`${describe(a)} leads to #${id}, which is nowhere in the page`);
}
for (const attr of ['aria-labelledby', 'aria-describedby']) {
  for (const el of document.querySelectorAll(`[${attr}]`)) {
    for (const id of el.getAttribute(attr).split(/\s+/)) {
      if (id && !document.getElementById(id)) found.push(`${describe(el)} has ${attr}="${id}", which is nowhere in the page`);
    }
  }
}
return found;
