// Tells the journal which time zone this browser is in, and forgets a draft once it was saved.
(() => {
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
  if (zone && !document.cookie.includes(`zone=${zone}`)) {
    document.cookie = `zone=${zone}; path=/; max-age=31536000; SameSite=Lax`;
  }
  const sent = sessionStorage.getItem("draft-sent");
  if (sent && !document.querySelector(".error-summary")) {
    if (document.querySelector(".flash.message")) localStorage.removeItem(sent);
    sessionStorage.removeItem("draft-sent");
  }
})();
