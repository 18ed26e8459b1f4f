"""The `oddcup` command: serve, demo, backup, backups, restore, check, export, import, copy-to.

What only one of the others needs is imported by it: whoever opens the journal waits for it else.
"""

import os
import sqlite3
from collections.abc import Sequence
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

import click
from sqlalchemy.exc import SQLAlchemyError

from app.backups.checks import CouldNotLook, check_journal
from app.config import DEFAULT_PORT, PRIVATE, from_environment
from app.devices.network import lan_addresses
from app.exchange.problems import Refused
from app.file.hold import holding_or_not, looking_at
from app.revisions import head
from app.schema import current
from app.serving import demo_config
from app.serving.opening import begin_or_update, make_demo, serve_until_closed
from app.serving.processes import MOST as MOST_PROCESSES
from app.serving.processes import serve_in_processes
from app.trouble import in_words

_FILE = click.Path(path_type=Path, readable=False)  # a sentence of our own says so


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code. Errors are printed as one sentence."""
    usual = os.umask(PRIVATE)
    try:
        return int(commands.main(arguments, "oddcup", standalone_mode=False) or 0)
    except click.ClickException as misuse:
        misuse.show()
        return misuse.exit_code
    except click.Abort:
        return 130
    except CouldNotLook as unknown:
        click.echo(f"oddcup: {unknown}", err=True)
        return 2
    except (Refused, RuntimeError, OSError, ValueError, SQLAlchemyError, sqlite3.Error) as trouble:
        click.echo(f"oddcup: {in_words(trouble)}", err=True)
        return 1
    finally:
        os.umask(usual)


def _port(text: str) -> int:
    if text.isascii() and text.isdecimal() and 1 <= int(text) <= 65535:
        return int(text)
    raise click.BadParameter("a port is a number from 1 to 65535")


_TAKEN = f"{DEFAULT_PORT} unless named; if it is taken, the next free one is used."
_port_option = click.option(
    "--port", type=_port, metavar="PORT", default=str(DEFAULT_PORT), help=_TAKEN
)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.option("--journal", type=_FILE, help="The journal's file.")
@click.pass_context
def commands(context: click.Context, journal: Path | None) -> None:
    """A journal for brewed coffee."""
    context.obj = journal


@commands.command("serve")
@_port_option
@click.option(
    "--lan",
    is_flag=False,
    flag_value="",  # named without an address
    metavar="[ADDRESS]",
    help="Also let in paired phones on the home network (at ADDRESS, if there are several).",
)
@click.option("--new", is_flag=True, help="Begin a new journal, even if one was here before.")
@click.option(
    "--processes",
    type=click.IntRange(1, MOST_PROCESSES),
    default=1,
    help="For a journal on PostgreSQL: so many processes answer at the same address.",
)
@click.pass_obj
def _serve(journal: Path | None, port: int, lan: str | None, new: bool, processes: int) -> None:
    """Open the journal on this machine."""
    addresses = () if lan is None else lan_addresses(lan)
    config, prepare = from_environment(journal, port), partial(begin_or_update, new=new)
    if processes > 1:
        serve_in_processes(config, prepare, addresses, processes)
    else:
        serve_until_closed(config, prepare, addresses)


@commands.command("demo")
@_port_option
@click.pass_obj
def _demo(journal: Path | None, port: int) -> None:
    """Open an invented household in a file of its own."""
    serve_until_closed(demo_config(from_environment(journal, port), journal), make_demo)


@commands.command("backup")
@click.argument("to", type=_FILE, required=False)
@click.pass_obj
def _backup(journal: Path | None, to: Path | None) -> None:
    """Copy the journal into one file."""
    from app.backups.copying import back_up

    config = from_environment(journal)
    with looking_at(config.sqlite_path):
        backup = back_up(config, to=to)
    if backup is None:
        raise RuntimeError("A journal on PostgreSQL is backed up with pg_dump.")
    print(backup)


@commands.command("restore")
@click.argument("file", type=_FILE)
@click.pass_obj
def _restore(journal: Path | None, file: Path) -> None:
    """Put a backup in the journal's place."""
    from app.backups.restoring import restore

    config = from_environment(journal)
    set_aside = restore(config, file)
    if set_aside:
        print(f"The journal that was there is kept at {set_aside}")
    print(f"Restored {config.sqlite_path}")


@commands.command("backups")
@click.option("--folder", type=_FILE, help="Put backups into this folder from now on.")
@click.option("--usual-folder", is_flag=True, help="Put them beside the journal again.")
@click.pass_obj
def _backups(journal: Path | None, folder: Path | None, usual_folder: bool) -> None:
    """List the backups, or choose where they go."""
    from app.backups.folders import all_backups, choose, on_the_same_disk, place
    from app.backups.record import record_of

    config = from_environment(journal)
    path = config.sqlite_path
    if path is None:
        raise RuntimeError("A journal on PostgreSQL is backed up with pg_dump.")
    if not path.exists():
        raise FileNotFoundError(f"There is no journal at {path}.")
    if folder or usual_folder:
        choose(path, "" if usual_folder else str(folder))
    here = place(config, record_of(path))
    same = " (on the journal's own disk)" if on_the_same_disk(here.folder, path) else ""
    print(
        f"{here.away} Meanwhile backups" if here.away else "Backups", f"go to {here.folder}{same}"
    )
    for backup in all_backups(config, path):
        size = backup.path.stat().st_size / 1024**2
        print(f"{backup.made_at.astimezone():%Y-%m-%d %H:%M}  {size:8.1f} MB  {backup.path}")


@commands.command("export")
@click.argument("to", type=_FILE, required=False)
@click.pass_obj
def _export(journal: Path | None, to: Path | None) -> None:
    """Write the whole journal as a data package (a zip of CSV files and photos)."""
    from app.exchange.command import export

    config = from_environment(journal)
    path = config.sqlite_path
    if path is not None and not path.exists():
        raise FileNotFoundError(f"There is no journal at {path}.")
    if current(config.url) != head():
        raise RuntimeError("The journal was written by another Oddcup: open it once, to update it.")
    with looking_at(path):
        print(export(config, to, datetime.now(UTC)))


@commands.command("import")
@click.argument("file", type=_FILE)
@click.option("--try", "only_try", is_flag=True, help="Say what would come in, and change nothing.")
@click.option(
    "--keep", type=click.Choice(["mine", "theirs"]), help="Whose rows, where they differ."
)
@click.pass_obj
def _import(journal: Path | None, file: Path, only_try: bool, keep: str | None) -> None:
    """Take a data package into the journal: all of it, or nothing."""
    from app.exchange.command import come_in
    from app.exchange.words import told

    config = from_environment(journal)
    with holding_or_not(config.sqlite_path, "import") as held:
        begin_or_update(config, held)
        came = come_in(config, file, keep, datetime.now(UTC), only_try=only_try)
    for line in told(came, only_try=only_try):
        print(line)


@commands.command("check")
@click.pass_obj
def _check(journal: Path | None) -> int:
    """Look the journal over for damage."""
    from app.file.sqlite_version import sqlite_remark

    config = from_environment(journal)
    with looking_at(config.sqlite_path):
        outcomes = check_journal(config)
    for outcome in outcomes:
        print(outcome.line)
    if remark := sqlite_remark():
        print(remark)
    sound = not any(outcome.findings for outcome in outcomes)
    verdict = "is sound, as far as these checks go" if sound else "is not sound"
    print(f"{config.sqlite_path} {verdict}.")
    return 0 if sound else 1


@commands.command("copy-to")
@click.argument("place", metavar="URL|FILE")
@click.pass_obj
def _copy_to(journal: Path | None, place: str) -> None:
    """Move the journal to PostgreSQL, or back into a file.

    URL is like postgresql://USER@HOST/DATABASE. The database, or the file, must be empty or new.
    The journal itself stays as it is.
    """
    from app.moving.copying import move
    from app.moving.target import config_of
    from app.moving.words import how_to_go_on

    source = from_environment(journal)
    target = config_of(place, source)
    move(source, target, click.echo)
    click.echo(f"Copied and compared. {how_to_go_on(source, target)}")
