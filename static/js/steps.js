// Rows of steps in the recipe form: add one, take one out. Without it, empty rows stand ready.
const list = document.getElementById("steps");
const pattern = document.getElementById("step-pattern");
const add = document.getElementById("add-step");
const rows = () => [...list.querySelectorAll("[data-step]")];
const part = (row, name) => row.querySelector(`[name$="-${name}"]`);

function freeNumber() {
  const taken = new Set(rows().map((row) => Number(part(row, "kind").name.split("-")[1])));
  for (let number = 0; number < Number(list.dataset.most); number += 1) {
    if (!taken.has(number)) return number;
  }
  return null;
}

function nextPlace() {
  const places = rows().map((row) => Number.parseFloat(part(row, "place").value.replace(",", ".")));
  return Math.floor(Math.max(0, ...places.filter(Number.isFinite))) + 1;
}

function tell(row) {
  const [kind, grams, start] = ["kind", "grams", "starts_s"].map((name) => part(row, name).value.trim());
  const unit = part(row, "grams").closest(".unit-box").querySelector(".unit").textContent;
  const said = [kind, grams && `${grams}\u00a0${unit}`, start && `at ${start}`].filter(Boolean).join(" ");
  row.closest("details").querySelector(".fold-value").textContent = said || "empty";
}

function showRemove(row) {
  row.querySelector("[data-remove]").hidden = false;
}

function addRow() {
  const number = freeNumber();
  if (number === null) return;
  const place = nextPlace();
  list.insertAdjacentHTML("beforeend", pattern.innerHTML.replaceAll("steps-N-", `steps-${number}-`));
  const row = rows().at(-1);
  part(row, "place").value = place;
  showRemove(row);
  part(row, "kind").focus();
  add.disabled = freeNumber() === null;
}

function takeOut(event) {
  if (!event.target.closest("[data-remove]")) return;
  event.target.closest("details").remove();
  add.disabled = false;
  add.focus();
}

for (const row of rows()) {
  if (row.hasAttribute("data-blank")) row.closest("details").remove();
  else showRemove(row);
}
add.hidden = false;
add.addEventListener("click", addRow);
list.addEventListener("click", takeOut);
list.addEventListener("input", (event) => tell(event.target.closest("[data-step]")));
