// A file that is larger than the journal takes is told as it is chosen, and its form stays unsent.
for (const input of document.querySelectorAll("input[type=file][data-most]")) {
  const note = document.createElement("p");
  Object.assign(note, { id: `${input.id}-size`, className: "error", textContent: input.dataset.tooLarge });
  note.setAttribute("role", "alert");
  const described = input.getAttribute("aria-describedby") ?? "";
  const look = () => {
    const isTooLarge = input.files[0]?.size > Number(input.dataset.most);
    input.setAttribute("aria-invalid", isTooLarge);
    input.setAttribute("aria-describedby", isTooLarge ? `${described} ${note.id}` : described);
    if (isTooLarge) input.after(note);
    else note.remove();
    return isTooLarge;
  };
  input.addEventListener("change", look);
  input.form.addEventListener("submit", (event) => {
    if (!look()) return;
    event.preventDefault();
    input.closest("details")?.setAttribute("open", "");
    input.focus();
  });
}
