// A list that stands on the page already is sent once; here the others get the same options.
for (const list of document.querySelectorAll("select[data-like]")) {
  const like = document.getElementById(list.dataset.like);
  const chosen = list.value;
  if (like.options) list.innerHTML = like.innerHTML;
  else {
    list.replaceChildren(...[...like.querySelectorAll("label")].map((card) =>
      new Option(card.querySelector("span").firstChild.textContent, card.querySelector("input").value)));
  }
  list.value = chosen;
}

// Says at once what a chosen recipe says otherwise than the form, and fills it in when asked to.
const form = document.querySelector("#brew-form, #pair-form");
const TOLD = /(?:_g|_c|_s|_id|grind|stirs|flipped)$/;
form.addEventListener("change", async ({ target }) => {
  const says = document.getElementById(`${target.id}-says`);
  if (!says) return;
  says.textContent = "";
  const chosen = target.value;
  const cup = target.name.replace("revision_id", "");
  const told = [...new FormData(form)].filter(([name]) => name.startsWith(cup) && TOLD.test(name));
  const answer = chosen && await fetch(`${says.dataset.at}?${new URLSearchParams(told)}`).catch(() => null);
  if (!answer?.ok || target.value !== chosen) return;
  says.innerHTML = await answer.text();
  // It was shown, so it is not asked when the form is saved; the other cup follows this one.
  for (const select of form.querySelectorAll("[name$=revision_id]")) {
    if (select.value === chosen) form.elements[select.name.replace("revision_id", "asked")].value += ` recipe:${chosen}`;
  }
});
form.addEventListener("click", ({ target }) => {
  if (!target.dataset.fill) return;
  for (const [name, value] of Object.entries(JSON.parse(target.dataset.fill))) {
    const field = form.elements[name];
    if (field.type === "checkbox") field.checked = Boolean(value);
    else field.value = value;
    for (const kind of ["input", "change"]) field.dispatchEvent(new Event(kind, { bubbles: true }));
  }
  target.parentElement.textContent = "Filled in.";
});
