// The page as the clock stands: what is on at each cup, what comes next, all steps in their order.
import { elapsed, letters, paired, plan, root, run } from "./along-run.js";
import { maySleep, signal } from "./along-signal.js";
import { before, phase, times } from "./along-times.js";

const SOON_S = 4;
const $ = (id) => document.getElementById(id);
export const within = (letter, name) => root.querySelector(`[data-cup="${letter}"] [data-${name}]`);

export function clock(seconds) {
  const whole = Math.max(0, Math.round(seconds));
  const two = (n) => String(n).padStart(2, "0");
  const [hours, minutes] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60];
  return hours ? `${hours}:${two(minutes)}:${two(whole % 60)}` : `${minutes}:${two(whole % 60)}`;
}
const { unit, digits } = root.dataset;
const fixed = (value) =>
  value.toFixed(Number(digits)).replace(".", document.documentElement.dataset.point || ".");

export const now = (seconds = elapsed()) => {
  const all = times(plan, run.taps, seconds, Number(root.dataset.turn));
  return Object.fromEntries(letters.map((letter) => {
    const steps = all[letter];
    return [letter, { steps, ends: steps.at(-1).ends, at: phase(steps, run.taps[letter], seconds) }];
  }));
};

function onScale(steps, at, seconds) {
  const { step, on } = at;
  if (on && step.scale) {
    const [from, to] = step.scale;
    const share = Math.min(1, (seconds - step.starts) / Math.max(1, step.ends - step.starts));
    return `${fixed(from + (to - from) * share)} of ${fixed(to)} ${unit}`;
  }
  const poured = steps.slice(0, at.n).findLast((one) => one.scale && !one.skipped);
  return poured ? `${fixed(poured.scale[1])} ${unit} is in` : "";
}

// What the big button does now, as "Press now".
const doing = ({ step, on }, next) => {
  const begins = on ? next : step;
  if ((on && step.hand) || !begins) return "Done";
  return `${begins.kind[0].toUpperCase()}${begins.kind.slice(1)} now`;
};

function showCup(letter, { steps, at }, seconds) {
  const say = (name, text) => {
    const place = within(letter, name);
    if (place.textContent !== text) place.textContent = text;
  };
  const { step, on, n } = at;
  const next = on ? steps.slice(n + 1).find((one) => !one.skipped) : step;
  const isHeld = run.taps[letter].held === at.phase;
  const until = step && (on ? step.ends : step.starts) - seconds;
  say("now", !run.began ? "Not begun" : !step ? "Ready" : on ? step.say : isHeld ? "Wait: tap when you begin" : "Wait");
  say("left", !run.began || !step ? "" : isHeld && until < 0.5 ? "" : clock(until));
  say("scale", run.began ? onScale(steps, at, seconds) : "");
  say("next", next ? `Next${run.began && isHeld ? "" : `, at ${clock(next.starts)}`}: ${next.say}` : "");
  say("done", run.began && step ? doing(at, next) : "Done");
  const runs = run.began && !run.pausedAt;
  within(letter, "done").hidden = within(letter, "skip").hidden = run.began > 0 && !step;
  within(letter, "done").disabled = within(letter, "skip").disabled = !runs || !step;
  within(letter, "not-yet").disabled = !runs || before(steps, at) === null;
  root.querySelector(`[data-cup="${letter}"]`).classList.toggle("hands", run.began > 0 && on && step.hand);
  const isSoon = !on && step?.hand ? until < SOON_S : on && next?.hand && !step.hand && until < SOON_S;
  return `${at.phase}${isSoon && !isHeld ? "soon" : ""}`;
}

function showSteps(cups) {
  const rows = letters.flatMap((letter) => cups[letter].steps.map((step, n) => ({ letter, n, step })));
  rows.sort((one, other) => one.step.starts - other.step.starts);
  const body = root.querySelector(".along-steps tbody");
  rows.forEach(({ letter, n, step }, place) => {
    const { at } = cups[letter];
    const row = root.querySelector(`[data-row="${letter}${n}"]`);
    row.querySelector("[data-at]").textContent = step.skipped ? "skipped" : clock(step.starts);
    row.classList.toggle("over", run.began > 0 && (n < at.n || step.skipped));
    row.classList.toggle("on", run.began > 0 && at.on && n === at.n);
    if (body.rows[place] !== row) body.insertBefore(row, body.rows[place]);
  });
}

function showReady(cups, seconds) {
  const ready = run.began > 0 && letters.every((letter) => !cups[letter].at.step);
  $("ready").hidden = !ready;
  if (paired) $("plan-says").hidden = ready;
  $("log").querySelector("button").classList.toggle("primary", ready);
  if (ready) {
    const apart = paired ? cups.A.ends - cups.B.ends : 0;
    root.querySelector("[data-ready]").textContent = !paired ? "The cup is ready."
      : Math.abs(apart) < 1 ? "Both cups were ready at once."
        : `Cup ${apart < 0 ? "A" : "B"} was ready ${clock(Math.abs(apart))} before the other.`;
  }
  return paired && run.alike ? showCooling(cups, seconds, ready) : "";
}

function showCooling(cups, seconds, ready) {
  const left = letters.map((letter) => cups[letter].ends + run.cool * 60 - seconds);
  root.querySelector("[data-alike]").textContent = letters.map((letter, index) =>
    (!ready ? `Taste ${letter} at ${clock(cups[letter].ends + run.cool * 60)}.`
      : left[index] > 0 ? `Taste ${letter} in ${clock(left[index])}.` : `Taste ${letter} now.`)).join(" ");
  return left.map((one) => (ready && one <= 0 ? "t" : "c")).join("");
}

let last = "";
export function show() {
  const seconds = elapsed();
  const cups = now(seconds);
  $("clock").textContent = clock(Math.floor(seconds));
  $("clock").classList.toggle("hours", seconds >= 3600);
  const states = letters.map((letter) => showCup(letter, cups[letter], seconds));
  showSteps(cups);
  const tasting = showReady(cups, seconds);
  $("start").hidden = run.began > 0;
  $("again").hidden = !run.began;
  $("pause").hidden = !run.began || !$("ready").hidden;
  $("pause").textContent = run.pausedAt ? "Go on" : "Pause";
  const state = [...states, tasting].join();
  if (state !== last && last && run.began && !run.pausedAt) {
    signal(state.split("soon").length > last.split("soon").length);
  }
  last = state;
  const isOver = !$("ready").hidden && !tasting.includes("c");
  if (isOver && run.began) maySleep();
}

