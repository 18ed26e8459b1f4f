// Which choices of a plan go together, from the server's own list: each one closes later ones.
const { fields, clashes } = JSON.parse(document.querySelector("[data-together]").textContent);
const form = document.querySelector("form[data-plan]");
const DIRECTED = form.dataset.plan.split(" ");

const options = (field) => [...form.querySelectorAll(`input[type=radio][name=${field}]`)];
const chosen = (field) => {
  if (field === "controls") return Number(form.elements.controls.value) > 0 ? "some" : "none";
  if (field === "reminder") return reminded() && form.elements.reminder.checked ? "yes" : "no";
  return options(field).find((option) => option.checked)?.value;
};
const reminded = () => chosen("method") === "A-not-A";
const name = (option) => option.closest("label").querySelector("span").firstChild.textContent.trim();

// Why a word of this field does not go with what was chosen above it; undefined where it does.
const whyNot = (field, word) => clashes.find((clash) => clash.field === field && clash.when[field].includes(word)
  && Object.entries(clash.when).every(([other, words]) => other === field || words.includes(chosen(other))))?.why;

function close(field) {
  const reasons = new Map();
  const before = options(field).find((option) => option.checked);
  for (const option of options(field)) {
    const why = whyNot(field, option.value);
    option.disabled = Boolean(why);
    if (why) reasons.set(why, [...(reasons.get(why) ?? []), name(option)]);
  }
  const lines = [...reasons].map(([why, names]) => `Closed: ${names.join(", ")}. ${why}`);
  if (before?.disabled) {
    const first = options(field).find((option) => !option.disabled);
    if (first) first.checked = true;
    if (first) lines.unshift(`Changed to: ${name(first)}.`);
  }
  say(options(field)[0].closest("fieldset"), lines);
}

function say(box, lines) {
  box.querySelectorAll("[data-why]").forEach((line) => line.remove());
  for (const line of lines) {
    const said = document.createElement("p");
    said.className = "hint";
    said.dataset.why = "";
    said.textContent = line;
    box.append(said);
  }
}

// A number of controls, where none or some is what does not go with the rest.
function counted() {
  const box = form.elements.controls.closest("details");
  const none = whyNot("controls", "none");
  const some = whyNot("controls", "some");
  const now = chosen("controls") === "some" ? some : none;
  box.hidden = Boolean(some && !now);
  say(box.querySelector(".field"), now ? [now] : []);
  if (now) box.open = true;
}

function refresh() {
  for (const field of fields) if (options(field).length) close(field);
  counted();
  const reminder = form.elements.reminder.closest("details");
  reminder.hidden = !reminded();
  const why = whyNot("reminder", chosen("reminder"));
  say(reminder.querySelector(".field"), why ? [why] : []);
  const directed = DIRECTED.includes(chosen("method"));
  const taste = form.elements.attribute.closest("details");
  taste.hidden = !directed;
  if (directed) taste.open = true;
  taste.parentElement.hidden = taste.hidden && reminder.hidden;
  form.elements.fixed_trials.closest(".field").hidden = chosen("rule") !== "fixed number";
}

form.addEventListener("change", (event) => {
  // What the server said of a choice is answered once the choice is made anew.
  event.target.closest("fieldset, .field")?.querySelector(".error")?.remove();
  refresh();
});
refresh();
