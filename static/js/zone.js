// Tells the journal which time zone this browser is in.
const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
if (zone && !document.cookie.includes(`zone=${zone}`)) {
  document.cookie = `zone=${zone}; path=/; max-age=31536000; SameSite=Lax`;
}
