// A form is sent once, however often its button is tapped; after a while a lost one may go again.
// Once it is saved, what was kept of it while typing is thrown away.
const WHILE_MS = 5000;
let sent = new WeakMap();
addEventListener("submit", (event) => {
  if (event.defaultPrevented || event.target.method !== "post") return;
  if (Date.now() - (sent.get(event.target) ?? 0) < WHILE_MS) return event.preventDefault();
  sent.set(event.target, Date.now());
  try { sessionStorage.setItem("sent", event.target.elements.entry_key?.value ?? ""); } catch { /* Kept. */ }
});
addEventListener("pageshow", () => { sent = new WeakMap(); });
try {
  const key = sessionStorage.getItem("sent");
  if (key && document.querySelector(".flash.message") && !document.querySelector(".error-summary")) {
    for (const name of Object.keys(localStorage)) {
      if (name.startsWith("draft:") && localStorage.getItem(name).includes(key)) localStorage.removeItem(name);
    }
  }
  sessionStorage.removeItem("sent");
} catch { /* Storage is forbidden: nothing was kept. */ }
