"""Where the journal is stored, and on which port it is served."""

import os
import secrets
from dataclasses import dataclass
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from platformdirs import user_data_path

DEFAULT_PORT = 8473
MAX_REQUEST_MB = 12


@dataclass(frozen=True)
class Config:
    """`url` is the database, `home` the folder of the secret key and the backups."""

    url: str
    home: Path
    secret_key: str
    port: int = DEFAULT_PORT
    demo: bool = False
    locale: str = "en"

    @property
    def sqlite_path(self) -> Path | None:
        prefix = "sqlite:///"
        return Path(self.url.removeprefix(prefix)) if self.url.startswith(prefix) else None


def from_environment(journal: Path | None = None, port: int = DEFAULT_PORT) -> Config:
    """The journal named, else ODDCUP_DATABASE_URL, else the user's data folder."""
    url = os.environ.get("ODDCUP_DATABASE_URL", "")
    home = journal.resolve().parent if journal else user_data_path("oddcup", appauthor=False)
    home.mkdir(parents=True, exist_ok=True)
    if journal or not url:
        url = f"sqlite:///{journal.resolve() if journal else home / 'journal.db'}"
    locale = os.environ.get("ODDCUP_LOCALE", "en")
    return Config(url=url, home=home, secret_key=_secret_key(home), port=port, locale=locale)


def _secret_key(home: Path) -> str:
    """The same at every start, so that a form left open overnight can still be sent."""
    path = home / "secret.key"
    if not path.exists():
        fresh = home / f"secret.key.{os.getpid()}"
        fresh.write_text(secrets.token_hex(32))
        fresh.chmod(0o600)
        fresh.replace(path)
    return path.read_text().strip()


def machine_zone() -> str:
    """This machine's time zone by name, used until the browser has sent its own."""
    named = os.environ.get("TZ", "")
    if not named:
        link = Path("/etc/localtime")
        target = str(link.resolve()) if link.exists() else ""
        named = target.partition("zoneinfo/")[2]
    return known_zone(named) or "UTC"


def known_zone(name: str) -> str | None:
    """The name of a known time zone, else None."""
    try:
        return ZoneInfo(name).key if name else None
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return None
