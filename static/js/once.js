// A form is sent once, however often its button is tapped.
(() => {
  let sent = new WeakSet();
  addEventListener("submit", (event) => {
    if (event.defaultPrevented || event.target.method !== "post") return;
    if (sent.has(event.target)) event.preventDefault();
    sent.add(event.target);
  });
  addEventListener("pageshow", () => { sent = new WeakSet(); });
})();
