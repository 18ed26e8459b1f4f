// What happened so far, as moments of the machine's clock and seconds on this one, kept in the
// browser: a reload, a locked screen or a sleeping browser loses no second.
import { noTaps } from "./along-times.js";

export const root = document.getElementById("along");
export const plan = JSON.parse(root.dataset.plan);
export const letters = Object.keys(plan);
export const paired = letters.length > 1;
const KEY = `along:${location.search}`;
const COOL_MIN = 5;
const KEPT_MS = 2 * 864e5;
const OVER_MS = 3 * 3600e3; // so long after its end, a clock that is opened anew starts anew

export const fresh = () => ({
  began: 0, pausedAt: 0, pauses: [], isLogged: false, alike: false, cool: COOL_MIN,
  taps: Object.fromEntries(letters.map((letter) => [letter, noTaps()])),
});
export let run = fresh();
try { run = { ...run, ...JSON.parse(localStorage.getItem(KEY) ?? "{}") }; } catch { /* Not kept. */ }

try {
  for (const name of Object.keys(localStorage).filter((one) => one.startsWith("along:") && one !== KEY)) {
    if (Date.now() - JSON.parse(localStorage.getItem(name)).began > KEPT_MS) localStorage.removeItem(name);
  }
} catch { /* Not kept. */ }

export function keep(changes = {}) {
  run = { ...run, ...changes };
  try { localStorage.setItem(KEY, JSON.stringify(run)); } catch { /* Not kept. */ }
}
export const startOver = (began = 0) => keep({ ...fresh(), alike: run.alike, cool: run.cool, began });

const planned_s = Math.max(...letters.map((letter) => plan[letter].at(-1).ends));
const [opened] = performance.getEntriesByType("navigation");
const isOld = run.isLogged || Date.now() - run.began > planned_s * 1000 + OVER_MS;
if (run.began && isOld && opened?.type === "navigate") startOver();

// What the journal's clock is ahead of this machine's.
const ahead_ms = Number(root.dataset.ms) - Date.now();
// When it began, as a clock on the wall says by the journal's time: 2026-03-05T07:30.
export function beganAt() {
  const ms = run.began + ahead_ms;
  return new Date(ms - new Date(ms).getTimezoneOffset() * 60e3).toISOString().slice(0, 16);
}

const paused = (until) => run.pauses.reduce((sum, one) => sum + (one.at < until ? one.ms : 0), 0);

// Seconds on this clock, which stands still in a pause.
export const elapsed = () =>
  (run.began ? ((run.pausedAt || Date.now()) - run.began - paused(Infinity)) / 1000 : 0);

// Seconds since the start, pauses included: coffee goes on steeping.
export const really = (seconds) => seconds + paused(seconds) / 1000;

export function pause() {
  const pauses = run.pausedAt
    ? [...run.pauses, { at: elapsed(), ms: Date.now() - run.pausedAt }] : run.pauses;
  keep({ pauses, pausedAt: run.pausedAt ? 0 : Date.now() });
}
