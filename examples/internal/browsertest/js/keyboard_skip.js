// Where the key is after the skip link was followed: an element before the content,
// or nothing.
const target = document.getElementById(decodeURIComponent(reachables()[0].getAttribute('href').slice(1)));
const at = document.activeElement;
const passed = !at || at === document.body || at === target || target.contains(at) ||
  target.compareDocumentPosition(at) & Node.DOCUMENT_POSITION_FOLLOWING;
return passed ? '' : describe(at);
