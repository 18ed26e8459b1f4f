"""Where the journal is stored, and on which port it is served."""

import os
import secrets
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from platformdirs import user_data_path
from sqlalchemy import URL, make_url
from sqlalchemy.exc import ArgumentError

DEFAULT_PORT = 8473
PRIVATE = 0o077  # the umask under which Oddcup makes its files: for their owner only
POSTGRESQL = ("postgresql", "postgres")
LEAST_KEY = 32  # characters
MAX_REQUEST_MB = 12
MAX_REQUEST_BYTES = MAX_REQUEST_MB * 1024 * 1024


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
        return sqlite_file(self.url)


def sqlite_file(url: str) -> Path | None:
    """The file of a SQLite journal; None for one on a server or in memory."""
    try:
        parts = make_url(url)
    except ArgumentError:
        return None
    return Path(parts.database) if parts.drivername == "sqlite" and parts.database else None


def sqlite_url(path: Path) -> str:
    """The address of a journal in this file, whatever characters its name is made of."""
    return URL.create("sqlite", database=str(path)).render_as_string(hide_password=False)


def known_url(address: str) -> str:
    """A PostgreSQL address with the driver that Oddcup uses, where it names none."""
    kind, mark, rest = address.partition("://")
    return f"postgresql+psycopg://{rest}" if mark and kind in POSTGRESQL else address


def from_environment(journal: Path | None = None, port: int = DEFAULT_PORT) -> Config:
    """The journal named, else ODDCUP_DATABASE_URL, else the user's data folder.

    Nothing is made on the disk: `with_home` does that for a journal that is to be served. Raises
    ValueError for a file name that no text can hold.
    """
    url = known_url(os.environ.get("ODDCUP_DATABASE_URL", ""))
    path = journal.resolve() if journal else default_home() / "journal.db"
    if journal or not url:
        try:
            url = sqlite_url(path)
        except UnicodeError:
            raise ValueError(f"The file name {str(path)!r} is not text; rename it.") from None
    locale = os.environ.get("ODDCUP_LOCALE", "en")
    return Config(url=url, home=path.parent, secret_key="", port=port, locale=locale)


def default_home() -> Path:
    return user_data_path("oddcup", appauthor=False)


def make_home(home: Path) -> None:
    """Make the journal's folder; Oddcup's own is closed to other accounts, others are left alone.

    Raises OSError if it cannot be made.
    """
    home.mkdir(parents=True, exist_ok=True)
    if home == default_home():
        with suppress(OSError):
            home.chmod(0o700)


def with_secret_key(config: Config) -> Config:
    """The same at every start, so that a form left open overnight can still be sent.

    A key that is damaged is replaced. Raises RuntimeError if none can be read or made.
    """
    # The demo has a key of its own: a `secret.key` tells that there was a journal here.
    path = config.home / ("demo.key" if config.demo else "secret.key")
    try:
        key = _usable_key(path) or _new_key(path)
    except OSError as error:
        raise RuntimeError(
            f"{path} could not be used ({error.strerror}). Oddcup signs its forms with it: let "
            "this account read and write it, or delete it, and a new one is made."
        ) from None
    with suppress(OSError):
        path.chmod(0o600)
    return replace(config, secret_key=key)


def _usable_key(path: Path) -> str:
    """Empty if there is none, or the file holds no text, or too short a one to keep others out."""
    try:
        key = path.read_text("ascii").strip()
    except (FileNotFoundError, UnicodeError):
        return ""
    return key if len(key) >= LEAST_KEY and key.isprintable() else ""


def _new_key(path: Path) -> str:
    """Put a key in place whole. Of several servers that start at once, all take the first one's."""
    fresh = path.with_name(f"{path.name}.{os.getpid()}")
    fresh.write_text(secrets.token_hex(32))
    fresh.chmod(0o600)
    try:
        os.link(fresh, path)
    except OSError:  # there is one, or the disk knows no hard links
        if not _usable_key(path):
            fresh.replace(path)
    finally:
        fresh.unlink(missing_ok=True)
    return _usable_key(path)


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
