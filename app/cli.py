"""The `oddcup` command: serve, demo, backup, restore, check."""

from collections.abc import Sequence
from pathlib import Path

import click

from app.backup import back_up, find_damage, restore
from app.config import DEFAULT_PORT, Config, from_environment
from app.devices.network import lan_addresses
from app.schema import bring_up_to_date
from app.serving import demo_config, make_server

_FILE = click.Path(path_type=Path)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code. Errors are printed as one sentence."""
    try:
        return int(commands.main(arguments, "oddcup", standalone_mode=False) or 0)
    except click.ClickException as misuse:
        misuse.show()
        return misuse.exit_code
    except click.Abort:
        return 130
    except (RuntimeError, OSError, ValueError) as trouble:
        click.echo(f"oddcup: {trouble}", err=True)
        return 1


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
@click.pass_obj
def _serve(journal: Path | None, port: int, lan: str | None) -> None:
    """Open the journal on this machine."""
    _open(from_environment(journal, port), () if lan is None else lan_addresses(lan))


@commands.command("demo")
@_port_option
@click.pass_obj
def _demo(journal: Path | None, port: int) -> None:
    """Open an invented household in a file of its own."""
    from seed_demo import ensure_demo

    config = demo_config(from_environment(journal, port), journal)
    ensure_demo(config)
    _open(config)


def _open(config: Config, lan: Sequence[str] = ()) -> None:
    backup = bring_up_to_date(config)
    if backup:
        print(f"The journal was brought up to date; as it was before: {backup}")
    server, port = make_server(config, lan)
    try:
        print(f"Oddcup is open at http://127.0.0.1:{port}/")
        for address in lan:
            print(f"On your network, for paired devices: http://{address}:{port}/")
        print(f"Journal: {config.sqlite_path or 'PostgreSQL'}. Ctrl+C closes it.", flush=True)
        server.run()
    except KeyboardInterrupt:
        server.close()


@commands.command("backup")
@click.argument("to", type=_FILE, required=False)
@click.pass_obj
def _backup(journal: Path | None, to: Path | None) -> None:
    """Copy the journal into one file."""
    backup = back_up(from_environment(journal), to=to)
    if backup is None:
        raise RuntimeError("A journal on PostgreSQL is backed up with pg_dump.")
    print(backup)


@commands.command("restore")
@click.argument("file", type=_FILE)
@click.pass_obj
def _restore(journal: Path | None, file: Path) -> None:
    """Put a backup in the journal's place."""
    config = from_environment(journal)
    set_aside = restore(config, file)
    if set_aside:
        print(f"The journal that was there is kept at {set_aside}")
    print(f"Restored {config.sqlite_path}")


@commands.command("check")
@click.pass_obj
def _check(journal: Path | None) -> int:
    """Look the journal over for damage."""
    config = from_environment(journal)
    findings = find_damage(config)
    for finding in findings:
        print(finding)
    if not findings:
        print(f"{config.sqlite_path} is sound.")
    return 1 if findings else 0
