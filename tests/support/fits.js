// Text is read block by block, across the elements in its lines: "17.5" and a small " g" are one. A
// word may part after a hyphen or dash; what belongs together (a date, a time, a number and its unit)
// may not part at all. `longest`: a longer word may break anywhere.
longest => {
  const found = new Set();
  const root = document.documentElement, main = document.querySelector('main');
  const tell = (what, text) => found.add(`${what}: ${text.trim().replace(/\s+/g, ' ').slice(0, 60)}`);
  const shown = element => element.checkVisibility({visibilityProperty: true, opacityProperty: true})
    && !element.closest('.sr:not(:focus), svg, script, style, textarea, select, pre, code, [hidden]')
    && getComputedStyle(element.closest('thead') || root).clipPath === 'none';
  const scrolls = new Map();
  const clips = element => {
    if (!scrolls.has(element)) scrolls.set(element, getComputedStyle(element).overflowX !== 'visible');
    return scrolls.get(element);
  };
  const inside = (element, rect, text) => {
    if (rect.right > innerWidth + 1 || rect.left < -1) return tell('leaves the window', text);
    for (let box = element; box !== document.body; box = box.parentElement) {
      if (!clips(box)) continue;
      const edge = box.getBoundingClientRect();
      if (rect.right > edge.right + 1.5 || rect.left < edge.left - 1.5) {
        return tell(`cut by ${box.className || box.tagName}`, text);
      }
    }
  };
  if (root.scrollWidth > innerWidth) found.add(`the page scrolls sideways: ${root.scrollWidth} px`);
  if (main.scrollWidth > main.clientWidth) found.add(`main scrolls sideways: ${main.scrollWidth} px`);
  for (const box of document.querySelectorAll('body *')) {
    if (/auto|scroll/.test(getComputedStyle(box).overflowX) && box.scrollWidth > box.clientWidth + 1
        && box.tagName !== 'TEXTAREA') tell(`${box.className || box.tagName} scrolls sideways`, box.textContent);
  }
  // A line break or a block within a block begins another run of text.
  const runs = [], open = new Map();
  const nodes = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT | NodeFilter.SHOW_ELEMENT);
  for (let node = nodes.nextNode(); node; node = nodes.nextNode()) {
    let block = node.parentElement;
    while (getComputedStyle(block).display === 'inline') block = block.parentElement;
    if (node.nodeType === Node.ELEMENT_NODE) {
      if (node.tagName === 'BR' || getComputedStyle(node).display !== 'inline') open.delete(block);
    } else if (shown(node.parentElement)) {
      if (!open.has(block)) runs.push([block, []]), open.set(block, runs.at(-1)[1]);
      open.get(block).push(node);
    }
  }
  const parts = [
    /\d{1,2}[ \u00a0](?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)(?:[ \u00a0]\d{4})?/g,
    /\d+:\d\d(?::\d\d)?/g,
    /[\d.,]*\d[ \u00a0](?:g|kg|ml|mg|%|°C|°F|°dH|°Brix|s|min|h|µm|oz|bar|EUR|mg\/L|g\/L|g\/kg)(?![\w\/])/g,
  ];
  for (const [block, pieces] of runs) {
    const text = pieces.map(node => node.data).join('');
    if (!text.trim()) continue;
    const range = document.createRange();
    // Node by node: what is hidden between two of them has a place of its own.
    const rects = (from, to) => {
      const boxes = [];
      let start = 0;
      for (const node of pieces) {
        const end = start + node.length;
        if (start < to && end > from) {
          range.setStart(node, Math.max(from - start, 0));
          range.setEnd(node, Math.min(to, end) - start);
          boxes.push(...range.getClientRects());
        }
        start = end;
      }
      return boxes.filter(box => box.width > .5);
    };
    const all = rects(0, text.length);
    if (!all.length) continue;
    const own = block.getBoundingClientRect();
    for (const rect of all) {
      inside(block, rect, text);
      if (rect.right > own.right + 2 || rect.left < own.left - 2) tell('spills over', text);
    }
    const parted = boxes => boxes.some(one => boxes.some(other => one.bottom <= other.top + 1));
    if (!parted(all)) continue;
    for (const match of text.matchAll(/[^ \t\n\r\u00ad\u200b\-‐–—\/]+/g)) {
      if (match[0].length <= longest && parted(rects(match.index, match.index + match[0].length))) {
        tell('in two lines', match[0]);
      }
    }
    for (const part of parts) for (const match of text.matchAll(part)) {
      if (parted(rects(match.index, match.index + match[0].length))) tell('in two lines', match[0]);
    }
  }
  for (const control of document.querySelectorAll('input, select, textarea, button, .button')) {
    if (!shown(control.parentElement) || control.closest('.scale, .sr')) continue;
    const own = control.getBoundingClientRect(), around = control.parentElement.getBoundingClientRect();
    if (!own.width) continue;
    const name = control.name || control.textContent;
    if (own.right > around.right + 1.5 || own.left < around.left - 1.5) tell('sticks out', name);
    inside(control.parentElement, own, name);
  }
  return [...found];
}
