// Keeps what is typed into a form until it is saved, for each tab its own: a reload, a lost session
// or a flat battery loses nothing. Where storage is full or forbidden, it only forgets on reload.
const FIELDS = 3;
const DAYS_KEPT = 60;
const isTick = (input) => input.type === "radio" || input.type === "checkbox";
const own = (input) => input.name && input.name !== "csrf_token" && input.type !== "file" && input.type !== "submit";
const typed = (input) => own(input) && input.type !== "hidden";
const names = (form) => new Set([...form.elements].filter(typed).map((input) => input.name));
const isLong = (form) => names(form).size > FIELDS || form.querySelector("textarea");

function tab() {
  const id = sessionStorage.getItem("tab") ?? Math.random().toString(36).slice(2);
  sessionStorage.setItem("tab", id);
  return id;
}

function read(form) {
  const values = {};
  for (const input of [...form.elements].filter(own)) {
    if (!isTick(input)) values[input.name] = input.value;
    else if (input.checked) values[input.name] = [...(values[input.name] ?? []), input.value];
    else values[input.name] ??= [];
  }
  return values;
}

function write(form, values) {
  for (const input of [...form.elements].filter(own)) {
    if (!(input.name in values)) continue;
    if (isTick(input)) input.checked = values[input.name].includes(input.value);
    else input.value = values[input.name] ?? "";
  }
  form.dispatchEvent(new Event("restored"));
}

// What the reader sees of a form: its key is another each time it is opened.
const seen = (values) => JSON.stringify({ ...values, entry_key: "", seen: "" });

// The drafts of one form, this tab's first, then the newest; those too old are thrown away.
function kept(place) {
  const found = [];
  for (const name of Object.keys(localStorage).filter((key) => key.startsWith("draft:"))) {
    const draft = JSON.parse(localStorage.getItem(name));
    if (!draft.at || Date.now() - draft.at > DAYS_KEPT * 864e5) localStorage.removeItem(name);
    else if (draft.place === place) found.push({ name, ...draft });
  }
  return found.sort((a, b) => (b.tab === tab()) - (a.tab === tab()) || b.at - a.at);
}

function offerBack(form, draft) {
  const note = document.createElement("p");
  note.className = "flash message draft";
  note.textContent = `Typed on ${new Date(draft.at).toLocaleString([], { dateStyle: "medium", timeStyle: "short" })} and not saved. `;
  const button = (text, work) => {
    const made = document.createElement("button");
    made.type = "button";
    made.className = "button";
    made.textContent = text;
    made.addEventListener("click", () => { work(); note.remove(); });
    note.append(made, " ");
  };
  button("Bring it back", () => write(form, draft.values));
  button("Throw it away", () => localStorage.removeItem(draft.name));
  form.prepend(note);
  form.closest("details")?.setAttribute("open", "");
}

// Where this form goes on from one that went elsewhere first (brewing along), the address holds what
// is short; what was written stayed here.
function goOn(form) {
  const args = new URLSearchParams(location.search);
  const key = args.get("draft");
  if (!key) return;
  const all = Object.keys(localStorage).filter((name) => name.startsWith("draft:"));
  const draft = all.map((name) => JSON.parse(localStorage.getItem(name))).find((one) => one.values?.entry_key === key);
  if (!draft) return;
  form.dataset.draft = key; // once saved, it goes with this form
  const written = [...form.querySelectorAll("textarea")].filter((input) => !args.has(input.name));
  write(form, Object.fromEntries(written.map((input) => [input.name, draft.values[input.name] ?? ""])));
}

// A form on its way elsewhere than to be saved: what is written, which may be long, waits here.
function leaveHere(form, save) {
  const key = form.elements.entry_key?.value;
  const written = [...form.querySelectorAll("textarea")];
  if (!key || !written.length) return;
  save();
  written.forEach((input) => { input.disabled = true; });
  const mark = document.createElement("input");
  Object.assign(mark, { type: "hidden", name: "draft", value: key });
  form.append(mark);
  setTimeout(() => {
    written.forEach((input) => { input.disabled = false; });
    mark.remove();
  });
}

function keep(form) {
  const place = form.getAttribute("action") ?? `${location.pathname}${location.search}`;
  const name = `draft:${tab()}:${place}`;
  goOn(form);
  const draft = kept(place)[0];
  if (draft && !document.querySelector(".error-summary") && seen(draft.values) !== seen(read(form))) offerBack(form, draft);
  const save = () => localStorage.setItem(
    name, JSON.stringify({ place, tab: tab(), at: Date.now(), values: read(form) }));
  form.addEventListener("input", () => tryTo(save));
  form.addEventListener("submit", (event) => {
    if ("notesStay" in (event.submitter?.dataset ?? {})) tryTo(() => leaveHere(form, save));
  });
}

function tryTo(work) {
  try {
    work();
  } catch {
    // Nothing is kept.
  }
}

for (const form of [...document.querySelectorAll("form[method=post]")].filter(isLong)) tryTo(() => keep(form));
