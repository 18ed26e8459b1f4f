// Two cups logged at once: what is changed for A goes for B too, until B is changed by hand.
const form = document.getElementById("pair-form");
const SLOT = /^a-(filter_\d|brewed_at|note|beverage_g)$/; // each cup's own
const own = new Set();

const twin = (field) => form.elements[field.name.replace(/^a-/, "b-")];
const value = (field) => (field.type === "checkbox" ? String(field.checked) : field.value);
const understood = (field) => document.getElementById(`${field.id}-read`); // of a time
const before = new Map();
for (const field of form.querySelectorAll("[name^='a-']")) before.set(field.name, value(field));

function words(field) {
  if (field.type === "checkbox") {
    return field.checked ? field.closest("label").textContent.replace(/^\W*[AB]: /, "").trim() : "";
  }
  const text = field.tagName === "SELECT" && field.value
    ? field.selectedOptions[0].textContent.trim() : field.value.trim();
  const time = understood(field)?.textContent.match(/^(.+) = /);
  if (time) return time[1];
  const unit = field.closest(".unit-box")?.querySelector(".unit")?.textContent;
  return text && unit ? `${text} ${unit}` : text.slice(0, 40);
}

function showRow(fold) {
  const line = fold.querySelector("[data-both]");
  if (!line) return;
  const [a, b] = ["a-", "b-"].map((cup) =>
    [...fold.querySelectorAll(`[name^='${cup}']`)].map(words).filter(Boolean).join(" · ") || "–");
  line.textContent = a === b ? a : `A ${a} B ${b}`;
}

function follow(field) {
  const other = twin(field);
  if (!other || SLOT.test(field.name) || own.has(other.name)) return;
  if (value(other) !== before.get(field.name)) return;
  if (field.type === "checkbox") other.checked = field.checked;
  else other.value = field.value;
  if (understood(field)) understood(other).textContent = understood(field).textContent;
}

form.addEventListener("input", (event) => {
  const field = event.target;
  if (field.name?.startsWith("a-")) {
    follow(field);
    before.set(field.name, value(field));
  } else if (field.name) own.add(field.name);
  const fold = field.closest("details.fold");
  if (fold) showRow(fold);
});
form.addEventListener("restored", () => {
  for (const field of form.querySelectorAll("[name^='a-']")) before.set(field.name, value(field));
  form.querySelectorAll("details.fold").forEach(showRow);
});
