// Keeps what was typed into a new brew until it is saved: a reload or a flat battery loses nothing.
// Where storage is full or forbidden, the form still works; it only forgets on reload.
const SENT = "draft-sent";
const form = document.querySelector("form[data-draft]");
const failed = document.querySelector(".error-summary");
const place = `draft:${form?.dataset.draft}:${location.pathname}${location.search}`;
const own = (input) => input.name && !["csrf_token", "entry_key"].includes(input.name) && input.type !== "file";
const isTick = (input) => input.type === "radio" || input.type === "checkbox";

function read() {
  const values = {};
  for (const input of [...form.elements].filter(own)) {
    if (!isTick(input)) values[input.name] = input.value;
    else if (input.checked) values[input.name] = input.value;
    else values[input.name] ??= null;
  }
  return values;
}

function write(values) {
  for (const input of [...form.elements].filter(own)) {
    if (!(input.name in values)) continue;
    if (isTick(input)) input.checked = values[input.name] === input.value;
    else input.value = values[input.name] ?? "";
  }
  form.dispatchEvent(new Event("restored"));
}

function offerBack(kept) {
  const note = document.createElement("p");
  note.className = "flash message";
  note.textContent = "An unsaved brew was found. ";
  const take = document.createElement("button");
  take.type = "button";
  take.className = "button";
  take.textContent = "Bring it back";
  take.addEventListener("click", () => {
    write(kept);
    note.remove();
  });
  note.append(take);
  form.prepend(note);
}

function forgetSaved() {
  const sent = sessionStorage.getItem(SENT);
  sessionStorage.removeItem(SENT);
  if (sent && !failed && document.querySelector(".flash.message")) localStorage.removeItem(sent);
}

function offerKept() {
  const kept = JSON.parse(localStorage.getItem(place) || "null");
  if (kept && !failed && JSON.stringify(kept) !== JSON.stringify(read())) offerBack(kept);
}

function tryTo(work) {
  try {
    work();
  } catch {
    // Nothing is kept.
  }
}

tryTo(forgetSaved);
if (form) {
  tryTo(offerKept);
  form.addEventListener("input", () => tryTo(() => localStorage.setItem(place, JSON.stringify(read()))));
  form.addEventListener("submit", () => tryTo(() => sessionStorage.setItem(SENT, place)));
}
