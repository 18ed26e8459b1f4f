// The brew form while it is typed into: the ratio in the save bar, and what each row says.
const form = document.getElementById("brew-form");
const point = document.documentElement.dataset.point || ".";

const amount = (name) => {
  const text = form.elements[name].value.trim().replace(",", ".");
  return /^\d*\.?\d+$|^\d+\.$/.test(text) ? Number(text) : 0;
};
const fixed = (value, digits) => value.toFixed(digits).replace(".", point);

function showRatio() {
  const dose = amount("dose_g");
  const water = amount("water_g");
  const total = water + amount("bypass_g") + amount("ice_g");
  const line = document.getElementById("ratio");
  if (!dose || !water) {
    line.textContent = "";
    return;
  }
  const all = total > water ? `, 1 : ${fixed(total / dose, 1)} in all` : "";
  line.textContent = `1 : ${fixed(water / dose, 1)}${all} · ${fixed((1000 * dose) / total, 0)} g/L`;
}

function said(input) {
  if (input.type === "radio" || input.type === "checkbox") {
    if (!input.checked || (input.type === "radio" && !input.value)) return "";
    const label = input.closest("label");
    if (label.closest(".scale")) return `effort ${input.value}`;
    const words = label.querySelector("span");
    const small = words.querySelector("small");
    const first = words.firstChild.textContent.trim();
    if (input.name.startsWith("retire")) return "then retired";
    if (input.name === "flipped") return "flipped";
    return small ? `${first}, ${small.textContent.split(" · ")[0]}` : first;
  }
  const value = input.tagName === "SELECT" ? chosen(input) : input.value.trim();
  if (!value) return "";
  const time = document.getElementById(`${input.id}-read`)?.textContent.match(/^(.+) = /);
  if (time) return time[1];
  const unit = input.closest(".unit-box")?.querySelector(".unit")?.textContent;
  if (input.name === "stirs") return `${value} stirs`;
  return unit ? `${value} ${unit}` : value.slice(0, 40);
}

const chosen = (select) =>
  select.value ? select.options[select.selectedIndex].text : "";

function showRow(fold) {
  const parts = [...fold.querySelectorAll("input, select, textarea")].map(said);
  fold.querySelector(".fold-value").textContent = parts.filter(Boolean).join(" · ") || "–";
}

form.addEventListener("input", (event) => {
  showRatio();
  const fold = event.target.closest("details.fold");
  if (fold) showRow(fold);
});
form.addEventListener("restored", () => {
  showRatio();
  form.querySelectorAll("details.fold").forEach(showRow);
});
