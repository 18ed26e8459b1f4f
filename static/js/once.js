// A form is sent once, however often its button is tapped; after a while a lost one may go again.
const WHILE_MS = 5000;
let sent = new WeakMap();
addEventListener("submit", (event) => {
  if (event.defaultPrevented || event.target.method !== "post") return;
  if (Date.now() - (sent.get(event.target) ?? 0) < WHILE_MS) event.preventDefault();
  else sent.set(event.target, Date.now());
});
addEventListener("pageshow", () => { sent = new WeakMap(); });
