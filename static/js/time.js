// Says beside a time what is understood of it, as the journal will read it.
const says = ({ id }) => id && document.getElementById(`${id}-read`);
addEventListener("input", ({ target, isTrusted }) => {
  if (isTrusted && says(target)) says(target).textContent = "";
}, true);
addEventListener("change", async ({ target }) => {
  const line = says(target);
  if (!line) return;
  const typed = target.value;
  const answer = await fetch(`${line.dataset.at}?text=${encodeURIComponent(typed)}`).catch(() => null);
  if (!answer?.ok || target.value !== typed) return;
  line.textContent = await answer.text();
  target.dispatchEvent(new Event("input", { bubbles: true })); // its row says it, too
});
