// The pause between cups, and a key that does not come back with the browser's Back button.
// A page kept in memory would show the key again after it was covered: load it anew.
addEventListener("pageshow", (event) => {
  if (event.persisted) location.reload();
});
addEventListener("pagehide", () => {
  for (const secret of document.querySelectorAll("[data-secret]")) secret.remove();
});

const button = document.querySelector("[data-pause]");
const shown = document.querySelector("[data-pause-shown]");
const says = document.querySelector("[data-pause-says]");
let timer = 0;

const tell = (text) => {
  if (says.textContent !== text) says.textContent = text;
};
const tick = (began) => {
  const [soon, latest] = button.dataset.pause.split(" ");
  const seconds = Math.floor((Date.now() - began) / 1000);
  shown.textContent = `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
  if (seconds < soon) tell("Rinse and wait.");
  else if (seconds < latest) tell("The next cup, now.");
  else {
    tell("The next cup: a minute has passed.");
    clearInterval(timer);
  }
};

if (button) {
  button.hidden = false;
  button.addEventListener("click", () => {
    clearInterval(timer);
    const began = Date.now();
    tick(began);
    timer = setInterval(tick, 250, began);
  });
}
