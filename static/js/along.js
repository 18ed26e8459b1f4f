// The clock of one cup or two: taps and keys, and on to the log with the times it took.
import { beganAt, elapsed, keep, letters, pause, paired, really, root, run, startOver } from "./along-run.js";
import { clock, now, show, within } from "./along-show.js";
import { maySleep, prepareSignals, stayAwake } from "./along-signal.js";
import { before, end, hold, skip } from "./along-times.js";

const $ = (id) => document.getElementById(id);

function tap(letter, work) {
  if (!run.began || run.pausedAt) return;
  const seconds = elapsed();
  const { steps, at } = now(seconds)[letter];
  work(run.taps[letter], steps, at, seconds);
  keep();
  show();
}
const done = (letter) => tap(letter, (taps, steps, at, seconds) => at.step && end(steps, taps, at, seconds));

for (const letter of letters) {
  within(letter, "done").addEventListener("click", () => done(letter));
  within(letter, "skip").addEventListener("click", () =>
    tap(letter, (taps, steps, at, seconds) => at.step && skip(steps, taps, at, seconds)));
  within(letter, "not-yet").addEventListener("click", () => tap(letter, (taps, steps, at) => {
    const wanted = before(steps, at);
    if (wanted !== null) hold(steps, taps, wanted);
  }));
}
$("start").addEventListener("click", () => {
  startOver(Date.now());
  stayAwake();
  show();
});
$("pause").addEventListener("click", () => {
  pause();
  show();
});
$("again").addEventListener("click", () => {
  startOver();
  maySleep();
  show();
});

function showAlike() {
  $("alike").checked = run.alike;
  $("cooling").hidden = !run.alike;
  show();
}
if (paired) {
  $("alike").closest("label").hidden = false;
  $("cool").value = run.cool;
  $("alike").addEventListener("change", () => {
    keep({ alike: $("alike").checked });
    showAlike();
  });
  $("cool").addEventListener("input", () => {
    keep({ cool: Math.min(60, Math.max(0, Number($("cool").value) || 0)) });
    show();
  });
  showAlike();
}

// The cup whose phase ends first.
function soonest() {
  const cups = now();
  const until = (letter) => {
    const { step, on } = cups[letter].at;
    return on ? step.ends : step.starts;
  };
  return letters.filter((letter) => cups[letter].at.step).sort((a, b) => until(a) - until(b))[0];
}
addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.repeat) return;
  const onControl = event.target.closest("button, a, input, summary");
  const key = event.key.toLowerCase();
  if (event.target.closest("input:not([type=checkbox])")) return;
  if (key === "p" && run.began) $("pause").click();
  else if (paired && letters.includes(key.toUpperCase())) done(key.toUpperCase());
  else if (key === " " && !onControl) {
    event.preventDefault();
    if (!run.began) $("start").click();
    else if (soonest()) done(soonest());
  }
});
function wakeUp() {
  if (document.visibilityState !== "visible") return;
  if (run.began && !run.pausedAt) stayAwake();
  show();
}
document.addEventListener("visibilitychange", wakeUp);
addEventListener("pageshow", (event) => event.persisted && wakeUp());

// What really happened, as far as it has: from the first water to the press, the press, the start.
function happened(letter) {
  const { steps, at } = now()[letter];
  const took = (from, to) => clock(really(to) - really(from));
  const isOver = (step) => !!step && steps.indexOf(step) < at.n;
  const press = steps.find((step) => step.kind === "press");
  // A flipped brewer that is not pressed steeps until it has been turned over.
  const steep = steps.find((step) => step.kind === "turn over") ?? steps.findLast((step) => step.kind === "steep");
  const stirs = steps.filter((step) => step.kind === "stir");
  const values = {};
  if (press && !press.skipped) {
    if (isOver(press) || (at.step === press && at.on)) values.steep_s = took(steps[0].starts, press.starts);
    if (isOver(press)) values.press_s = took(press.starts, press.ends);
  } else {
    if (isOver(steep)) values.steep_s = took(steps[0].starts, steep.ends);
    if (press) values.press_s = "";
  }
  if (stirs.length && stirs.every((step) => step.skipped)) values.stirs = "0";
  return values;
}

$("log").addEventListener("submit", () => {
  if (!run.began) return;
  const put = (name, value) => {
    const field = $("log").elements[name] ?? $("log").appendChild(document.createElement("input"));
    Object.assign(field, { type: "hidden", name, value });
  };
  for (const letter of letters) {
    const of = paired ? `${letter.toLowerCase()}-` : "";
    for (const [name, value] of Object.entries(happened(letter))) put(`${of}${name}`, value);
  }
  put(paired ? "a-brewed_at" : "brewed_at", beganAt());
  keep({ isLogged: true });
});

prepareSignals();
setInterval(show, 250);
if (run.began && !run.pausedAt) stayAwake();
show();
