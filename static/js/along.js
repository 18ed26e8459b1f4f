// The clock of one cup or two. What happened is kept as moments of the machine's clock, so that a
// reload, a locked screen or a sleeping browser loses no second.
const root = document.getElementById("along");
const plan = JSON.parse(root.dataset.plan);
const letters = Object.keys(plan);
const KEY = `along:${location.search}`;
const COOL_S = 300; // from ready to the first sip, where both cool for as long
const $ = (id) => document.getElementById(id);
const box = Object.fromEntries(letters.map((one) => [one, root.querySelector(`[data-cup="${one}"]`)]));

const fresh = () => ({ began: 0, pausedAt: 0, pausedMs: 0, alike: false, done: {}, moved: {} });
let run = fresh();
try { run = { ...run, ...JSON.parse(localStorage.getItem(KEY) ?? "{}") }; } catch { /* Not kept. */ }
const keep = () => {
  try { localStorage.setItem(KEY, JSON.stringify(run)); } catch { /* Not kept. */ }
};

const elapsed = () => {
  if (!run.began) return 0;
  return ((run.pausedAt || Date.now()) - run.began - run.pausedMs) / 1000;
};
const clock = (seconds) => {
  const whole = Math.max(0, Math.round(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
};

// The steps of a cup as they were and will be: one tapped early or late moves those after it.
function steps(letter) {
  let moved = run.moved[letter] ?? 0;
  return plan[letter].map((step, number) => {
    const now = { ...step, starts: step.starts + moved, ends: step.ends + moved };
    const tapped = run.done[letter]?.[number];
    if (tapped !== undefined) {
      now.starts = Math.min(now.starts, tapped);
      moved += tapped - now.ends;
      now.ends = tapped;
    }
    return now;
  });
}

// The step that is on, or else the one that comes next; none once all is done.
function at(letter, seconds) {
  const all = steps(letter);
  const number = all.findIndex((step, index) =>
    run.done[letter]?.[index] === undefined && step.ends > seconds);
  return { all, number, step: all[number], on: number >= 0 && all[number].starts <= seconds };
}

function done(letter) {
  const seconds = elapsed();
  const { number } = at(letter, seconds);
  if (!run.began || run.pausedAt || number < 0) return;
  const before = steps(letter)[number];
  (run.done[letter] ??= {})[number] = seconds;
  // A cup that has not begun waits for the other: its place between the other's steps stays.
  for (const other of letters) {
    if (other !== letter && steps(other)[0].starts > seconds) {
      run.moved[other] = (run.moved[other] ?? 0) + seconds - before.ends;
    }
  }
  keep();
  show();
}

let last = "";
let sound;
function signal(state) {
  if (state === last) return;
  const first = last === "";
  last = state;
  if (first || !run.began || run.pausedAt) return;
  navigator.vibrate?.(200);
  if (!$("sound").checked || !sound) return;
  const tone = sound.createOscillator();
  tone.frequency.value = 660;
  tone.connect(sound.destination);
  tone.start();
  tone.stop(sound.currentTime + 0.25);
}

function showCup(letter, seconds) {
  const { all, number, step, on } = at(letter, seconds);
  const say = (name, text) => {
    const place = box[letter].querySelector(`[data-${name}]`);
    if (place.textContent !== text) place.textContent = text;
  };
  const next = on ? all[number + 1] : step;
  say("now", !run.began ? "Not begun" : !step ? "Ready" : on ? step.say : "Wait");
  say("left", !run.began || !step ? "" : clock((on ? step.ends : step.starts) - seconds));
  say("next", next ? `Next, at ${clock(next.starts)}: ${next.say}` : "");
  const button = box[letter].querySelector("[data-done]");
  button.disabled = !run.began || !!run.pausedAt || !step;
  button.hidden = run.began > 0 && !step;
  box[letter].classList.toggle("hands", on && step.hand);
  all.forEach((one, index) => {
    const row = root.querySelector(`[data-row="${letter}${index}"]`);
    row.querySelector("[data-at]").textContent = clock(one.starts);
    row.classList.toggle("over", one.ends <= seconds && run.began > 0);
    row.classList.toggle("on", on && index === number);
  });
  return `${letter}${number}${on}`;
}

function showReady(seconds) {
  const ends = letters.map((letter) => steps(letter).at(-1).ends);
  const ready = run.began > 0 && ends.every((end) => end <= seconds);
  $("ready").hidden = !ready;
  if (!ready) return;
  const apart = letters.length > 1 ? Math.abs(ends[0] - ends[1]) : 0;
  root.querySelector("[data-ready]").textContent = letters.length < 2 ? "The cup is ready."
    : apart < 1 ? "Both cups were ready at once."
      : `Cup ${ends[0] < ends[1] ? "A" : "B"} was ready ${clock(apart)} before the other.`;
  const alike = root.querySelector("[data-alike]");
  if (!alike) return;
  alike.hidden = !run.alike;
  alike.textContent = letters.map((letter, index) => {
    const left = ends[index] + COOL_S - seconds;
    return left > 0 ? `Taste ${letter} in ${clock(left)}.` : `Taste ${letter} now.`;
  }).join(" ");
}

function show() {
  const seconds = elapsed();
  $("clock").textContent = clock(Math.floor(seconds));
  signal(letters.map((letter) => showCup(letter, seconds)).join());
  showReady(seconds);
  $("start").hidden = run.began > 0;
  $("pause").hidden = $("again").hidden = !run.began;
  $("pause").textContent = run.pausedAt ? "Go on" : "Pause";
}

let lock;
async function stayAwake() {
  try { lock = await navigator.wakeLock?.request("screen"); } catch { /* The screen may go dark. */ }
}
$("start").addEventListener("click", () => {
  run = { ...fresh(), began: Date.now() };
  keep();
  stayAwake();
  show();
});
$("pause").addEventListener("click", () => {
  if (run.pausedAt) run.pausedMs += Date.now() - run.pausedAt;
  run.pausedAt = run.pausedAt ? 0 : Date.now();
  keep();
  show();
});
$("again").addEventListener("click", () => {
  run = fresh();
  last = "";
  keep();
  lock?.release();
  show();
});
$("alike")?.addEventListener("click", () => {
  run.alike = !run.alike;
  keep();
  show();
});
$("sound").addEventListener("change", () => { sound ??= new AudioContext(); });
for (const letter of letters) {
  box[letter].querySelector("[data-done]").addEventListener("click", () => done(letter));
}
addEventListener("keydown", (event) => {
  if (event.target.closest("button, a, input, summary") || event.ctrlKey || event.metaKey) return;
  if (event.key === "p" && run.began) $("pause").click();
  if (event.key !== " ") return;
  event.preventDefault();
  if (!run.began) return $("start").click();
  // The cup whose step ends first.
  const open = letters.filter((letter) => at(letter, elapsed()).step);
  open.sort((a, b) => at(a, elapsed()).step.ends - at(b, elapsed()).step.ends);
  if (open.length) done(open[0]);
});
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState !== "visible") return;
  if (run.began && !run.pausedAt) stayAwake();
  show();
});

// What really happened goes into the log: from the first water to the press, and the press.
$("log").addEventListener("submit", () => {
  const paired = letters.length > 1;
  const put = (name, value) => {
    const field = $("log").elements[name] ?? $("log").appendChild(document.createElement("input"));
    Object.assign(field, { type: "hidden", name, value });
  };
  for (const letter of letters) {
    if (!run.began) break;
    const all = steps(letter);
    const of = paired ? `${letter.toLowerCase()}-` : "";
    const press = all.find((step) => step.kind === "press");
    const steep = all.find((step) => step.kind === "steep");
    const until = press ? press.starts : steep?.ends;
    if (until !== undefined) put(`${of}steep_s`, clock(until - all[0].starts));
    if (press) put(`${of}press_s`, clock(press.ends - press.starts));
  }
  try { localStorage.removeItem(KEY); } catch { /* Not kept. */ }
});

setInterval(show, 250);
if (run.began && !run.pausedAt) stayAwake();
show();
