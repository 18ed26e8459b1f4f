// Draws every figure of a page in the colours of the page, and again when those change.
const TOKEN = /var\((--[\w-]+)\)/g;

function paint(value, style) {
  if (typeof value === "string") {
    return value.replace(TOKEN, (_, name) => style.getPropertyValue(name).trim());
  }
  if (Array.isArray(value)) return value.map((item) => paint(item, style));
  if (value && typeof value === "object") {
    return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, paint(item, style)]));
  }
  return value;
}

function withAxes(layout) {
  // Fixed axes: a finger that scrolls the page must not drag the chart.
  const axis = {
    automargin: true, fixedrange: true, zeroline: false, ticks: "outside", ticklen: 4,
    gridcolor: "var(--line)", linecolor: "var(--line-strong)", tickcolor: "var(--line-strong)",
  };
  const names = Object.keys(layout).filter((key) => /^[xy]axis\d*$/.test(key));
  const axes = {};
  for (const name of new Set(["xaxis", "yaxis", ...names])) axes[name] = { ...axis, ...layout[name] };
  return { ...layout, ...axes };
}

function dressed(layout, width, family) {
  return withAxes({
    height: Math.round(Math.min(420, Math.max(290, width * 0.62))),
    margin: { l: 48, r: 16, t: 16, b: 48 },
    paper_bgcolor: "rgba(0,0,0,0)",
    plot_bgcolor: "rgba(0,0,0,0)",
    colorway: [1, 2, 3, 4, 5].map((n) => `var(--series-${n})`),
    dragmode: false,
    separators: document.documentElement.dataset.point === "," ? ",." : ".,",
    hoverlabel: { bgcolor: "var(--table)", bordercolor: "var(--line-strong)", font: { color: "var(--ink)" } },
    legend: { orientation: "h", x: 0, y: 1.02, yanchor: "bottom" },
    ...layout,
    font: { family, size: 13, color: "var(--ink)", ...layout.font },
  });
}

function figures() {
  return [...document.querySelectorAll("script[data-chart]")].map((source) => ({
    source,
    box: document.getElementById(source.dataset.chart),
  }));
}

function draw({ source, box }) {
  const figure = JSON.parse(source.textContent);
  const style = getComputedStyle(document.documentElement);
  const layout = dressed(figure.layout || {}, box.clientWidth, getComputedStyle(document.body).fontFamily);
  box.querySelector(":scope > .still")?.remove();
  const config = { displayModeBar: false, responsive: true, ...figure.config };
  return window.Plotly.react(box, paint(figure.data, style), paint(layout, style), config);
}

function showTable({ source, box }) {
  box.hidden = true;
  const table = source.closest("figure").querySelector("details");
  if (table) table.open = true;
}

async function drawOrShowTable(part) {
  try {
    await draw(part);
  } catch {
    showTable(part);
  }
}

function drawAll() {
  for (const part of figures()) drawOrShowTable(part);
}

drawAll();
document.addEventListener("figures", drawAll);
for (const query of ["(prefers-color-scheme: dark)", "print"]) {
  matchMedia(query).addEventListener("change", drawAll);
}
