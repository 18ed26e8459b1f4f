// Sound, vibration and a screen that stays on, where the browser allows them and they are wanted.
const $ = (id) => document.getElementById(id);
let audio;
let lock;

function remember(box) {
  const key = `along-${box.id}`;
  try { box.checked = JSON.parse(localStorage.getItem(key)) ?? box.checked; } catch { /* Not kept. */ }
  box.addEventListener("change", () => {
    try { localStorage.setItem(key, box.checked); } catch { /* Not kept. */ }
  });
}

// A browser lets a page sound only after a tap or a key.
function wakeSound() {
  if (!$("sound").checked) return;
  audio ??= new AudioContext();
  if (audio.state === "suspended") audio.resume();
}

export function prepareSignals() {
  $("signals").hidden = false;
  remember($("sound"));
  remember($("vibration"));
  $("vibration").closest("label").hidden = !navigator.vibrate;
  for (const kind of ["click", "keydown"]) addEventListener(kind, wakeSound);
  if (!document.fullscreenEnabled) return;
  $("full").hidden = false;
  $("full").addEventListener("click", () =>
    (document.fullscreenElement ? document.exitFullscreen() : document.documentElement.requestFullscreen()));
  document.addEventListener("fullscreenchange", () => {
    $("full").textContent = document.fullscreenElement ? "Leave full screen" : "Full screen";
  });
}

// A low tone before hands are needed, a higher one when a step begins.
export function signal(isSoon) {
  if ($("vibration").checked) navigator.vibrate?.(isSoon ? 70 : [160, 90, 160]);
  if (!$("sound").checked || audio?.state !== "running") return;
  const tone = audio.createOscillator();
  tone.frequency.value = isSoon ? 415 : 660;
  tone.connect(audio.destination);
  tone.start();
  tone.stop(audio.currentTime + (isSoon ? 0.12 : 0.3));
}

export async function stayAwake() {
  try {
    lock = await navigator.wakeLock.request("screen");
    $("may-sleep").hidden = true;
  } catch {
    $("may-sleep").hidden = document.visibilityState !== "visible";
  }
}

export function maySleep() {
  lock?.release();
  lock = null;
  $("may-sleep").hidden = true;
}
