// A rest counts down beside its end; the page says the time of its end without this, too.
// By the server's clock: a phone whose own is fast would ask again and again until it is over.
const end = document.querySelector("time[data-until]");
const ahead = Date.now() - Number(end.closest("[data-now]").dataset.now);
const left = document.createElement("span");
end.after(" ", left);

function show() {
  const seconds = Math.ceil((Number(end.dataset.until) + ahead - Date.now()) / 1000);
  left.textContent = seconds > 0 ? `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")} left` : "over";
  if (seconds <= 0 && !document.querySelector("details[open], :focus:is(input, textarea)")) location.reload();
  else setTimeout(show, seconds > 0 ? 500 : 5000);
}
show();
