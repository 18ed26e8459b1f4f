// A form is sent once, however often its button is tapped; after a while a lost one may go again.
// Once it is saved, what was kept of it while typing is thrown away.
const WHILE_MS = 5000;
let sent = new WeakMap();
addEventListener("submit", (event) => {
  if (event.defaultPrevented || event.target.method !== "post") return;
  if (Date.now() - (sent.get(event.target) ?? 0) < WHILE_MS) return event.preventDefault();
  sent.set(event.target, Date.now());
  const keys = [event.target.elements.entry_key?.value, event.target.dataset.draft].filter(Boolean);
  try { sessionStorage.setItem("sent", JSON.stringify(keys)); } catch { /* Kept. */ }
});
addEventListener("pageshow", () => { sent = new WeakMap(); });
try {
  const keys = JSON.parse(sessionStorage.getItem("sent") ?? "[]");
  if (document.querySelector(".flash.message:not(.draft)") && !document.querySelector(".error-summary")) {
    for (const name of Object.keys(localStorage).filter((one) => one.startsWith("draft:"))) {
      if (keys.some((key) => localStorage.getItem(name).includes(key))) localStorage.removeItem(name);
    }
  }
  sessionStorage.removeItem("sent");
} catch { /* Storage is forbidden: nothing was kept. */ }
