// Which choices of a plan go together, from the server's own list: each one closes later ones. The
// plan in one sentence is put together from the server's parts.
const { fields, clashes, parts } = JSON.parse(document.querySelector("[data-together]").textContent);
const form = document.querySelector("form[data-plan]");
const { controls, reminder, attribute, fixed_trials: trials } = form.elements;
const DIRECTED = form.dataset.plan.split(" ");
const SO_MANY = 18;

const options = (field) => [...form.querySelectorAll(`input[type=radio][name=${field}]`)];
const chosen = (field) => {
  if (field === "controls") return Number(controls.value) > 0 ? "some" : "none";
  if (field === "reminder") return chosen("method") === "A-not-A" && reminder.checked ? "yes" : "no";
  return options(field).find((option) => option.checked)?.value;
};
const name = (option) => option.closest("label").querySelector("span").firstChild.textContent.trim();
const holds = (when) => Object.entries(when).every(([field, words]) => words.includes(chosen(field)));
const box = (part) => form.querySelector(`[data-${part}]`);

// Why a word of this field does not go with what was chosen above it; undefined where it does.
const whyNot = (field, word) => clashes.find((clash) => clash.field === field && clash.when[field].includes(word)
  && Object.entries(clash.when).every(([other, words]) => other === field || words.includes(chosen(other))))?.why;

function say(where, lines) {
  where.querySelectorAll("[data-why]").forEach((line) => line.remove());
  for (const line of lines) {
    const said = document.createElement("p");
    said.className = "hint";
    said.dataset.why = "";
    said.textContent = line;
    where.append(said);
  }
}

function close(field) {
  const reasons = new Map();
  const before = options(field).find((option) => option.checked);
  for (const option of options(field)) {
    const why = whyNot(field, option.value);
    option.closest("label").hidden = option.disabled = Boolean(why);
    if (why) reasons.set(why, [...(reasons.get(why) ?? []), name(option)]);
  }
  const lines = [...reasons].map(([why, names]) => `Left out: ${names.join(", ")}. ${why}`);
  if (before?.disabled) {
    const first = options(field).find((option) => !option.disabled);
    first.checked = true;
    if (field === "rule") trials.value ||= SO_MANY;
    lines.unshift(`Changed to: ${name(first)}.`);
  }
  say(options(field)[0].closest("fieldset"), lines);
}

function remind() {
  const why = whyNot("reminder", "yes");
  if (why) reminder.checked = false;
  reminder.closest(".field").parentElement.hidden = Boolean(why);
  box("reminded").hidden = chosen("method") !== "A-not-A";
  say(box("reminded"), why ? [why] : []);
}

// A number of trials of A against A, where none or some is what does not go with the rest.
function control() {
  const [none, some] = [whyNot("controls", "none"), whyNot("controls", "some")];
  const lines = [none, some].filter(Boolean);
  if (chosen("controls") === "none" ? none : some) {
    controls.value = none ? trials.value || SO_MANY : "";
    lines.unshift(`Changed to: ${controls.value || "none"}.`);
  }
  controls.closest(".field").parentElement.hidden = Boolean(some);
  box("controls").hidden = Boolean(some) && lines.length < 2;
  say(box("controls"), lines);
}

function refresh() {
  for (const field of fields) {
    if (field === "reminder") remind();
    else if (field === "controls") control();
    else close(field);
  }
  box("named").hidden = !DIRECTED.includes(chosen("method"));
  box("several").hidden = chosen("tasting") === "one";
  box("counted").hidden = chosen("rule") !== "fixed number";
  const text = parts.filter((part) => holds(part.when)).map((part) => part.text).join("");
  const figures = { of: attribute.value.trim() || form.dataset.of, trials: trials.value || "so many", controls: controls.value };
  box("sentence").textContent = text.replace(/\{(\w+)\}/g, (_, figure) => figures[figure]);
}

form.addEventListener("change", (event) => {
  // What each size takes was said of another plan.
  if (!["p_d_pct", "taster_id", "new_taster"].includes(event.target.name)) box("takes")?.remove();
  // What the server said of a choice is answered once the choice is made anew.
  event.target.closest("fieldset, .field")?.querySelector(".error")?.remove();
  refresh();
});
form.addEventListener("restored", refresh);
refresh();
