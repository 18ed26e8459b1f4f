// The brew form while it is typed into: the ratio in the save bar, and what each row says.
const form = document.getElementById("brew-form");
const point = document.documentElement.dataset.point || ".";

const amount = (name) => {
  const text = form.elements[name].value.trim().replace(",", ".");
  return /^\d*\.?\d+$|^\d+\.$/.test(text) ? Number(text) : 0;
};
const fixed = (value, digits) => value.toFixed(digits).replace(".", point);

function showRatio() {
  const [dose, water] = [amount("dose_g"), amount("water_g")];
  const total = water + amount("bypass_g") + amount("ice_g");
  const all = total > water ? `, 1 : ${fixed(total / dose, 1)} in all` : "";
  document.getElementById("ratio").textContent = dose && water
    ? `1 : ${fixed(water / dose, 1)}${all} · ${fixed((1000 * dose) / total, 0)} g/L` : "";
}

function said(input) {
  const { name, value } = input;
  if (input.type === "radio" || input.type === "checkbox") {
    if (!input.checked || !value) return "";
    if (name.startsWith("retire")) return "then retired";
    if (name === "flipped") return name;
    if (name === "press_effort") return `effort ${value}`;
    const [first, small] = input.nextElementSibling.childNodes;
    return small ? `${first.textContent}, ${small.textContent.split(" · ")[0]}` : first.textContent;
  }
  if (!value.trim()) return "";
  if (input.files) return input.files[0].name.slice(0, 40);
  if (input.options) return input.selectedOptions[0].text;
  const time = document.getElementById(`${input.id}-read`)?.textContent.match(/^(.+) = /);
  const stirs = name === "stirs" && (value === "1" ? "stir" : name);
  const unit = stirs || input.nextElementSibling?.matches(".unit") && input.nextElementSibling.textContent;
  return time?.[1] ?? (unit ? `${value} ${unit}` : value.slice(0, 40));
}

function showRow(fold) {
  const parts = [...fold.querySelectorAll("input, select, textarea")].map(said);
  fold.querySelector(".fold-value").textContent = parts.filter(Boolean).join(" · ") || "–";
}

form.addEventListener("input", ({ target }) => {
  showRatio();
  const fold = target.closest("details.fold");
  if (fold) showRow(fold);
});
form.addEventListener("restored", () => {
  showRatio();
  form.querySelectorAll("details.fold").forEach(showRow);
});
