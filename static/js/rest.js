// A rest counts down beside its end; the page says when it ends without this, too. It goes by the
// time that was left when the page was made: this device's clock may be wrong.
const end = document.querySelector("time[data-left]");
const left = document.createElement("span");
const over = performance.now() + Number(end.dataset.left) * 1000;
end.after(" ", left);

function show() {
  const seconds = Math.ceil((over - performance.now()) / 1000);
  if (seconds > 0) {
    left.textContent = `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")} left`;
    setTimeout(show, 500);
  } else if (document.querySelector(".sheet details[open]")) {
    left.textContent = "over";  // nothing is lost that is being typed
  } else location.reload();
}
show();
