// A settled figure as live Plotly and as a picture, in boxes of the same size one below the other: where
// they differ by more than a pixel, and what of the picture's words leaves it or lies on other words.
async ({figure, svg, width}) => {
  document.body.innerHTML = '<div id="still"></div><div id="live"></div>';
  const [still, live] = document.body.children;
  for (const box of [still, live]) box.style.width = `${width}px`;
  still.innerHTML = svg;
  const {data, layout} = structuredClone(figure);
  await Plotly.newPlot(live, data, {...layout, width}, {staticPlot: true});
  const told = new Set(), round = n => Math.round(n * 100) / 100;
  const picture = still.firstChild, zero = still.getBoundingClientRect();
  const same = (what, a, b) => { if (JSON.stringify(a) !== JSON.stringify(b)) told.add(`${what}: ${JSON.stringify(a)} is not ${JSON.stringify(b)}`); };

  // Axes: ranges, marks, words.
  const full = live._fullLayout, names = Object.keys(layout).filter(name => /^[xy]axis\d*$/.test(name));
  const day = text => String(text).replace(/ 00:00(:00)?$/, '').replace(/(\d\d:\d\d):00(\.0+)?$/, '$1');
  const text = node => [...node.childNodes].map(part => part.textContent.trim()).filter(Boolean).join('<br>');
  for (const name of names) {
    const axis = full[name], tick = name[0];
    same(`${name} range`, axis.range.map(end => typeof end === 'number' ? +end.toPrecision(6) : day(end)),
      layout[name].range.map(end => typeof end === 'number' ? +end.toPrecision(6) : day(end)));
    const drawn = [...live.querySelectorAll(`.${axis._id}tick text`)].map(text);
    const decoded = layout[name].ticktext.map(word => new DOMParser().parseFromString(word.replaceAll('<br>', '\u0001'), 'text/html').body.textContent.replaceAll('\u0001', '<br>'));
    same(`${name} words`, drawn, decoded.filter(Boolean));
    const words = [...picture.querySelectorAll('text')].map(text);
    for (const word of decoded) if (word && !words.includes(word)) told.add(`${name}: the picture lacks ${word}`);
  }

  // Points of the picture, in pixels of its box.
  const at = (node, x, y) => {
    const m = node.getScreenCTM();
    return [m.a * x + m.e - zero.left, m.d * y + m.f - zero.top];
  };
  const walk = d => {
    const found = []; let x = 0, y = 0;
    for (const [, command, rest] of d.matchAll(/([mlhv])([^a-z]*)/g)) {
      const numbers = (rest.match(/-?(?:\d+\.?\d*|\.\d+)/g) || []).map(Number);
      for (let n = 0; n < numbers.length; n += command === 'h' || command === 'v' ? 1 : 2) {
        if (command === 'h') x += numbers[n];
        else if (command === 'v') y += numbers[n];
        else { x += numbers[n]; y += numbers[n + 1]; }
        found.push([x, y]);
      }
    }
    return found;
  };
  const inner = [...picture.querySelectorAll(':scope > svg path')];
  const dots = inner.filter(path => path.getAttribute('stroke-linecap'));
  const lines = inner.filter(path => !path.getAttribute('stroke-linecap'));
  const marks = dots.flatMap(path => path.getAttribute('d').split('m').slice(1).length
    ? walk(path.getAttribute('d')).filter((_, n) => n % 2).map(([x, y]) => at(path, x, y)) : []);
  for (const use of picture.querySelectorAll('use')) {
    marks.push(at(picture, use.x.baseVal.value, use.y.baseVal.value));
  }
  const corners = lines.flatMap(path => walk(path.getAttribute('d')).map(([x, y]) => at(path, x, y)));

  // The same of Plotly, by its own axes.
  const near = (place, all) => all.some(other => Math.abs(other[0] - place[0]) <= 1 && Math.abs(other[1] - place[1]) <= 1);
  let count = 0;
  for (const points of live.calcdata) {
    const {trace} = points[0];
    if (!trace?.mode) continue;
    const xa = full[trace.xaxis.replace('x', 'xaxis')], ya = full[trace.yaxis.replace('y', 'yaxis')];
    const places = points.map(point => point.x === undefined || point.y === undefined ? [NaN, NaN]
      : [xa._offset + xa.c2p(point.x), ya._offset + ya.c2p(point.y)]);
    const shown = places.filter(([x, y]) => x >= xa._offset - .01 && x <= xa._offset + xa._length + .01
      && y >= ya._offset - .01 && y <= ya._offset + ya._length + .01);
    if (trace.mode.includes('markers')) {
      count += shown.length;
      for (const place of shown) if (!near(place, marks)) told.add(`no point at ${place.map(round)}`);
    }
    if (trace.mode.includes('lines') && trace.line.width) {
      places.forEach((place, n) => {
        const joined = [places[n - 1], places[n + 1]].some(other => other && !Number.isNaN(other[0]));
        if (!Number.isNaN(place[0]) && joined && !near(place, corners)) told.add(`no line through ${place.map(round)}`);
      });
    }
    for (const way of ['x', 'y']) {
      const bar = trace[`error_${way}`];
      if (!bar?.visible) continue;
      points.forEach((point, n) => {
        for (const end of [point[`${way}h`], point[`${way}s`]]) {
          if (end === undefined || Number.isNaN(places[n][0])) continue;
          const place = way === 'x' ? [xa._offset + xa.c2p(end), places[n][1]] : [places[n][0], ya._offset + ya.c2p(end)];
          if (!near(place, corners)) told.add(`no error bar to ${place.map(round)}`);
        }
      });
    }
  }
  if (count !== marks.length) told.add(`${marks.length} points, Plotly has ${count}`);

  // Lines across the chart, notes, legend.
  const box = path => { const r = path.getBoundingClientRect(), o = live.getBoundingClientRect(); return [r.left - o.left, r.top - o.top, r.right - o.left, r.bottom - o.top]; };
  for (const path of live.querySelectorAll('.shapelayer path')) {
    const [left, top, right, bottom] = box(path);
    for (const place of [[left, top], [right, bottom]]) if (!near(place, corners)) told.add(`no shape to ${place.map(round)}`);
  }
  const texts = [...picture.querySelectorAll('text')];
  same('notes', [...live.querySelectorAll('.annotation-text')].map(text), texts.filter(node => node.parentNode === picture).map(text));
  const keys = texts.filter(node => node.closest('.key'));
  same('legend', [...live.querySelectorAll('.legendtext')].map(node => node.textContent), keys.map(node => node.textContent));

  // Words of the picture.
  const edges = texts.map(node => [node, node.getBoundingClientRect()]);
  for (const [node, edge] of edges) {
    if (edge.left < zero.left - 1 || edge.right > zero.right + 1 || edge.top < zero.top - 1 || edge.bottom > zero.bottom + 1) told.add(`leaves the picture: ${node.textContent}`);
  }
  const letters = node => node.closest('[font-weight]');
  edges.forEach(([one, a], n) => edges.slice(n + 1).forEach(([other, b]) => {
    const over = Math.min(a.right, b.right) - Math.max(a.left, b.left), down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
    if (over > 1 && down > 3 && !(letters(one) && letters(other))) told.add(`${one.textContent} lies on ${other.textContent}`);
  }));
  return [...told];
}
