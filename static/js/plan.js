// While choices of a plan are made, the server says what goes with them and what the plan is then:
// only that is offered. What was typed stays; a plan that is sent is looked over there all the same.
const form = document.querySelector("form[data-plan]");
const part = (name) => form.querySelector(`[data-part=${name}]`);
let asked = new AbortController();

async function ask() {
  asked.abort();
  asked = new AbortController();
  try {
    const reply = await fetch(form.dataset.plan, { method: "POST", body: new FormData(form), signal: asked.signal });
    if (reply.ok) put(await reply.json());
  } catch {
    // Left by another choice, or not reached.
  }
}

function put(told) {
  for (const [name, { chosen, closed }] of Object.entries(told.cards)) {
    for (const card of form.querySelectorAll(`input[type=radio][name=${name}]`)) {
      card.checked = card.value === chosen;
      card.disabled = card.closest("label").hidden = closed.includes(card.value);
    }
  }
  for (const [name, notes] of Object.entries(told.notes)) {
    form.querySelector(`[data-notes=${name}]`)?.replaceChildren(...notes.map(line));
  }
  for (const [name, out] of Object.entries(told.left_out)) part(name).hidden = out;
  for (const [name, number] of Object.entries(told.numbers)) {
    const field = form.elements[name];
    if (field !== document.activeElement) field.value = number;
  }
  form.elements.reminder.checked = told.reminder;
  form.querySelector("[data-sentence]").textContent = told.sentence;
  form.querySelector("[data-takes]").textContent = told.takes;
}

function line(text) {
  const said = document.createElement("p");
  said.className = "hint";
  said.textContent = text;
  return said;
}

form.addEventListener("change", (event) => {
  // What the server said of a choice is answered once the choice is made anew.
  event.target.closest("fieldset, .field")?.querySelector(".error")?.remove();
  ask();
});
form.addEventListener("restored", ask);
// A browser may put back what was chosen before.
if (performance.getEntriesByType("navigation")[0]?.type !== "navigate") ask();
