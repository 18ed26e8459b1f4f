// A chart is a still picture until somebody wants it live: by a tap on it, by its button, or by a
// mouse that stays on it. Only then is the chart script asked for; until it has drawn, and on paper,
// and where it cannot be had, the picture stands.
const STAY_MS = 250;
const TOKEN = /var\((--[\w-]+)\)/g;
// Where elements with these ids are, Plotly adds no style sheet, which the page's policy would
// refuse: one for every chart (what it needs of it stands in charts.css), one for maps.
const NO_SHEETS = ["plotly.js-style-global", "9f215cf04c5486422605d13261cb87401f4e7763b6296af81e98efbc0130da53"];
let loading;

function load() {
  loading ??= new Promise((loaded, failed) => {
    for (const id of NO_SHEETS) document.head.append(Object.assign(document.createElement("template"), { id, className: "no-inline-styles" }));
    const script = document.createElement("script");
    script.src = document.querySelector("script[data-plotly]").dataset.plotly;
    script.onload = loaded;
    script.onerror = failed;
    document.head.append(script);
  }).catch((trouble) => {
    loading = undefined; // the next tap tries again
    throw trouble;
  });
  return loading;
}

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
  const names = Object.keys(layout).filter((key) => /^[xy]axis\d*$/.test(key));
  return { ...layout, ...Object.fromEntries(names.map((name) => [name, { gridcolor: "var(--line)", ...layout[name] }])) };
}

function dressed(layout, family) {
  return withAxes({
    paper_bgcolor: "rgba(0,0,0,0)",
    plot_bgcolor: "rgba(0,0,0,0)",
    dragmode: false,
    separators: document.documentElement.dataset.point === "," ? ",." : ".,",
    hoverlabel: { bgcolor: "var(--table)", bordercolor: "var(--line-strong)", font: { color: "var(--ink)" } },
    ...layout,
    font: { family, size: 13, color: "var(--ink)", ...layout.font },
    // As large as the picture, whose place it takes and whose legend stays.
    showlegend: false, autosize: true, width: undefined, height: undefined,
  });
}

function plotIn(box) {
  const plot = document.createElement("div");
  plot.className = "plot";
  plot.setAttribute("role", "img");
  plot.setAttribute("aria-label", `${box.closest("figure").querySelector("figcaption").textContent}. The numbers stand below.`);
  box.append(plot);
  return plot;
}

function draw(box) {
  const figure = JSON.parse(document.querySelector(`[data-chart="${box.id}"]`).textContent);
  const style = getComputedStyle(document.documentElement);
  const layout = dressed(figure.layout, getComputedStyle(document.body).fontFamily);
  const config = { displayModeBar: false, responsive: true };
  const plot = box.querySelector(".plot") || plotIn(box);
  return window.Plotly.react(plot, paint(figure.data, style), paint(layout, style), config);
}

const buttonOf = (box) => box.closest("figure").querySelector(".go-live");

function show(box, live) {
  box.classList.toggle("live", live);
  buttonOf(box).setAttribute("aria-pressed", live);
}

function tellFailure(box) {
  const line = document.createElement("p");
  line.className = "soft";
  line.setAttribute("role", "status");
  line.textContent = "The live chart could not be loaded. The picture shows the same; tap to try again.";
  box.after(line);
}

async function goLive(box) {
  if (box.ariaBusy === "true") return;
  box.ariaBusy = "true";
  box.parentElement.querySelector("[role=status]")?.remove();
  try {
    await load();
    box = document.getElementById(box.id) ?? box; // a worksheet may have answered meanwhile
    await draw(box);
    show(box, true);
  } catch {
    box.querySelector(".plot")?.remove();
    tellFailure(box);
  }
  box.ariaBusy = "false";
}

function drawAgain() {
  for (const box of document.querySelectorAll(".chart-box.live")) draw(box).then(() => show(box, true));
}

// A table that stands on another page is put in place of the link to it.
async function putNumbers(link) {
  try {
    const reply = await fetch(link.href);
    const there = new DOMParser().parseFromString(await reply.text(), "text/html");
    const id = link.closest("figure").querySelector(".chart-box").id;
    const table = there.getElementById(id).closest("figure").querySelector("details.more[open]");
    link.replaceWith(table);
    table.querySelector("summary").focus();
  } catch {
    location.assign(link.href);
  }
}

const stillAt = (event) => event.target.closest(".chart-box:not(.live)");

document.addEventListener("click", (event) => {
  const button = event.target.closest(".go-live");
  const box = button ? button.closest("figure").querySelector(".chart-box") : stillAt(event);
  if (box?.classList.contains("live")) show(box, false);
  else if (box) goLive(box);
  const link = event.target.closest("a.numbers");
  if (link && !event.ctrlKey && !event.metaKey && !event.shiftKey) {
    event.preventDefault();
    putNumbers(link);
  }
});
let staying;
document.addEventListener("pointerover", (event) => {
  clearTimeout(staying);
  const box = event.pointerType === "mouse" && stillAt(event);
  // One that was put back to its picture stays that.
  if (box && !box.querySelector(".plot")) staying = setTimeout(goLive, STAY_MS, box);
});
document.addEventListener("figures", drawAgain);
matchMedia("(prefers-color-scheme: dark)").addEventListener("change", drawAgain);
