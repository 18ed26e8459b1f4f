// A brew that is on the clock in this browser, should its page have been closed: the way back to it.
const LONG_AGO_MS = 2 * 3600e3;
const place = document.getElementById("running");
try {
  const runs = Object.keys(localStorage).filter((name) => name.startsWith("along:"))
    .map((name) => ({ address: name.slice("along:".length), ...JSON.parse(localStorage.getItem(name)) }))
    .filter((run) => run.began && !run.isLogged && Date.now() - run.began < LONG_AGO_MS);
  const [last] = runs.sort((one, other) => other.began - one.began);
  if (last) {
    place.querySelector("a").href += last.address;
    place.querySelector("[data-since]").textContent =
      new Date(last.began).toLocaleTimeString([], { hour: "numeric", minute: "2-digit" });
    place.hidden = false;
  }
} catch { /* Storage is forbidden: nothing runs. */ }
