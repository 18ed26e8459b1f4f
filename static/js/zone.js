// Tells the journal which time zone this browser is in. Asking for it the first time takes a phone
// dozens of milliseconds, so the page is painted first.
function tell() {
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
  if (zone && !document.cookie.includes(`zone=${zone}`)) {
    document.cookie = `zone=${zone}; path=/; max-age=31536000; SameSite=Lax`;
  }
}
requestAnimationFrame(() => setTimeout(tell));
