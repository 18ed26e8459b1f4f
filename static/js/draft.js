// Keeps what was typed into a new form until it is saved: a reload or a flat battery loses nothing.
(() => {
  const form = document.querySelector("form[data-draft]");
  if (!form) return;
  const place = `draft:${form.dataset.draft}:${location.pathname}${location.search}`;
  const own = (input) => input.name && !["csrf_token", "entry_key"].includes(input.name) && input.type !== "file";
  const isTick = (input) => input.type === "radio" || input.type === "checkbox";

  const read = () => {
    const values = {};
    for (const input of [...form.elements].filter(own)) {
      if (!isTick(input)) values[input.name] = input.value;
      else if (input.checked) values[input.name] = input.value;
      else values[input.name] ??= null;
    }
    return values;
  };

  const write = (values) => {
    for (const input of [...form.elements].filter(own)) {
      if (!(input.name in values)) continue;
      if (isTick(input)) input.checked = values[input.name] === input.value;
      else input.value = values[input.name] ?? "";
    }
    form.dispatchEvent(new Event("restored"));
  };

  const untouched = JSON.stringify(read());
  const offerBack = (kept) => {
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
  };

  try {
    const kept = JSON.parse(localStorage.getItem(place) || "null");
    const failed = form.querySelector(".error-summary");
    if (kept && !failed && JSON.stringify(kept) !== untouched) offerBack(kept);
    form.addEventListener("input", () => localStorage.setItem(place, JSON.stringify(read())));
    form.addEventListener("submit", () => sessionStorage.setItem("draft-sent", place));
  } catch {
    // Without storage the form still works; it only forgets on reload.
  }
})();
