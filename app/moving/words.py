"""What to do once a journal was moved, and what was not moved with it."""

import shlex

from sqlalchemy import make_url

from app.config import Config


def how_to_go_on(source: Config, target: Config) -> str:
    """Sentences for the terminal; no password is in them."""
    return "\n".join(
        (
            f"Go on with: {_command(target)}",
            f"The journal that was copied ({_name(source)}) is unchanged; what you save into it "
            "from now on is not in the copy.",
            "Photos, keys of blind tests and paired devices went with it. "
            + _left_behind(source, target),
        )
    )


def _command(target: Config) -> str:
    if target.sqlite_path:
        return shlex.join(["oddcup", "--journal", str(target.sqlite_path), "serve"])
    return f"ODDCUP_DATABASE_URL={shlex.quote(_address(target))} oddcup serve"


def _name(config: Config) -> str:
    return str(config.sqlite_path or _address(config))


def _address(config: Config) -> str:
    return make_url(config.url).set(drivername="postgresql").render_as_string(hide_password=True)


def _left_behind(source: Config, target: Config) -> str:
    """What stands beside a file, and is no part of the journal."""
    backups = (
        f"Its backups stay in {source.home / 'backups'} and are of use to a file only. "
        if source.sqlite_path
        else ""
    )
    own = "" if target.sqlite_path else "Backups of PostgreSQL are made with pg_dump. "
    key = (
        "Pages that are open in a browser have to be opened anew before their forms can be sent: "
        "these are signed with the key of their data folder (secret.key), which is not copied."
    )
    return f"{backups}{own}{key}"
