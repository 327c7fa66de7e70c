// The same elements in words: what each is, which, and what is wrong with its cells.
const small = el => { const b = el.getBoundingClientRect(); return b.width <= 32 && b.height <= 32; };
return plectraceNamed.map(el => {
  const out = {what: describe(el), kind: 'control', small: small(el), found: []};
  if (el.matches('svg, img, canvas, [role=img]')) out.kind = 'picture';
  if (el.localName !== 'table') return out;
  out.kind = 'table';
  const heads = [...el.querySelectorAll('th')];
  if (!heads.length) out.found.push(`${out.what} has no head cells: use th for what names a column or a row`);
  for (const th of heads) {
    if (!/^(col|row|colgroup|rowgroup)$/.test(th.getAttribute('scope') || '')) out.found.push(`${describe(th)} does not say what it heads: give it scope="col" or scope="row"`);
  }
  return out;
});
