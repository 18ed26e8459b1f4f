// A worksheet answers while it is typed into: the server's answer is put in place, the address kept.
const WAIT_MS = 120;
const form = document.getElementById("worksheet");
const said = document.getElementById("said");
const answer = document.getElementById("answer");
let waiting;
let asked = new AbortController();

function address() {
  const typed = [...new FormData(form)].map(([name, value]) => [name, String(value)]);
  return `${location.pathname}?${new URLSearchParams(typed)}`;
}

async function ask() {
  clearTimeout(waiting);
  asked.abort();
  asked = new AbortController();
  const here = address();
  try {
    const reply = await fetch(`${here}&fragment=1`, { signal: asked.signal });
    if (!reply.ok) throw new Error(reply.status);
    put(new DOMParser().parseFromString(await reply.text(), "text/html"));
    history.replaceState(null, "", here);
  } catch (trouble) {
    if (trouble.name !== "AbortError") said.textContent = "No answer: is Oddcup still running?";
  }
}

function put(fresh) {
  const line = fresh.getElementById("said").textContent.trim();
  if (said.textContent.trim() !== line) said.textContent = line;
  putErrors([...fresh.querySelectorAll("[data-field]")]);
  const next = fresh.getElementById("answer");
  // A live chart moves over, so that it changes instead of being drawn anew.
  for (const plot of answer.querySelectorAll(".chart-box.live > .plot")) {
    const box = next.querySelector(`#${plot.parentElement.id}`);
    box?.classList.add("live");
    box?.append(plot);
  }
  const folds = [...answer.querySelectorAll("details")];
  next.querySelectorAll("details").forEach((fold, place) => { fold.open = folds[place]?.open ?? fold.open; });
  answer.replaceChildren(...next.childNodes);
  document.dispatchEvent(new Event("figures"));
}

function putErrors(errors) {
  form.querySelectorAll(".error").forEach((old) => old.remove());
  form.querySelectorAll("[aria-invalid]").forEach((input) => input.removeAttribute("aria-invalid"));
  for (const error of errors) {
    const input = document.getElementById(error.dataset.field);
    input.setAttribute("aria-invalid", "true");
    input.setAttribute("aria-describedby", error.id);
    input.closest(".field").append(error);
    const fold = input.closest("details");
    if (fold) fold.open = true;
  }
}

form.addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(ask, WAIT_MS);
});
form.addEventListener("submit", (event) => {
  event.preventDefault();
  ask();
});
form.querySelector(".save-bar .button").remove();
