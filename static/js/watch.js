// Looks every two seconds whether what this page waits for has happened, while the page can be
// seen; says it and shows it. Without a script the page's own link does.
const EVERY_MS = 2000;
const SPOKEN_MS = 1500; // for a screen reader to say it before the next page comes
const GIVE_UP_MS = 8000;
const line = document.querySelector("[data-watch]");
const { watch, now, page, says, lasts } = line.dataset;
const runsOut = Number(lasts) ? performance.now() + Number(lasts) * 1000 : Infinity;
let timer = 0;
let failed = 0;
let leaving = false;

const say = (text) => {
  if (line.textContent !== text) line.textContent = text;
};
// What somebody is typing is not taken from under their hands: the page's link shows the rest.
const inHand = () => document.activeElement?.matches("input, textarea, select");
const show = (word, after) => {
  say(line.dataset[word] ?? says);
  if (inHand()) return;
  leaving = true;
  setTimeout(() => location.replace(page), after);
};

async function look() {
  clearTimeout(timer);
  if (document.hidden || leaving) return;
  if (performance.now() > runsOut) show("", 0);
  else await ask();
  if (!leaving) timer = setTimeout(look, EVERY_MS);
}

async function ask() {
  try {
    const answer = await fetch(watch, { cache: "no-store", signal: AbortSignal.timeout?.(GIVE_UP_MS) });
    if (answer.status === 403 || answer.status === 404) return show("", 0); // the page says why
    if (!answer.ok) throw new Error(answer.statusText);
    const state = await answer.text();
    failed = 0;
    if (state === now) say(says);
    else show(state.split(" ")[0], SPOKEN_MS);
  } catch {
    failed += 1;
    if (failed > 2) say("The journal does not answer. This page keeps asking.");
  }
}

document.addEventListener("visibilitychange", look);
look();
