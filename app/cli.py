"""The `oddcup` command: serve, demo, backup, restore, check."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from app.config import DEFAULT_PORT, Config, from_environment
from app.devices.network import lan_addresses
from app.serving import demo_config, make_server


def main(arguments: list[str] | None = None) -> int:
    options = _parser().parse_args(arguments)
    try:
        return int(options.run(options) or 0)
    except (RuntimeError, OSError, ValueError) as trouble:
        print(f"oddcup: {trouble}", file=sys.stderr)
        return 1


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="oddcup", description="A journal for brewed coffee.")
    parser.add_argument("--journal", type=Path, help="the journal's file")
    commands = parser.add_subparsers(required=True, metavar="command")
    serve = commands.add_parser("serve", help="open the journal on this machine")
    serve.add_argument("--port", type=_port, default=DEFAULT_PORT)
    serve.add_argument(
        "--lan",
        nargs="?",
        const="",
        metavar="ADDRESS",
        help="also let in paired phones on the home network (at ADDRESS, if there are several)",
    )
    serve.set_defaults(run=_serve)
    demo = commands.add_parser("demo", help="open an invented household in a file of its own")
    demo.add_argument("--port", type=_port, default=DEFAULT_PORT)
    demo.set_defaults(run=_demo)
    backup = commands.add_parser("backup", help="copy the journal into one file")
    backup.add_argument("to", type=Path, nargs="?")
    backup.set_defaults(run=_backup)
    restore = commands.add_parser("restore", help="put a backup in the journal's place")
    restore.add_argument("file", type=Path)
    restore.set_defaults(run=_restore)
    check = commands.add_parser("check", help="look the journal over for damage")
    check.set_defaults(run=_check)
    return parser


def _port(text: str) -> int:
    if text.isascii() and text.isdecimal() and 1 <= int(text) <= 65535:
        return int(text)
    raise argparse.ArgumentTypeError("a port is a number from 1 to 65535")


def _serve(options: argparse.Namespace) -> None:
    lan = () if options.lan is None else lan_addresses(options.lan)
    _open(from_environment(options.journal, options.port), lan)


def _demo(options: argparse.Namespace) -> None:
    from seed_demo import ensure_demo

    config = demo_config(from_environment(options.journal, options.port), options.journal)
    ensure_demo(config)
    _open(config)


def _open(config: Config, lan: Sequence[str] = ()) -> None:
    from app.schema import bring_up_to_date

    kept = bring_up_to_date(config)
    if kept:
        print(f"The journal was brought up to date; as it was before: {kept}")
    server, port = make_server(config, lan)
    print(f"Oddcup is open at http://127.0.0.1:{port}/")
    for address in lan:
        print(f"On your network, for paired devices: http://{address}:{port}/")
    print(f"Journal: {config.sqlite_path or 'PostgreSQL'}. Ctrl+C closes it.", flush=True)
    try:
        server.run()
    except KeyboardInterrupt:
        server.close()


def _backup(options: argparse.Namespace) -> None:
    from app.backup import back_up

    kept = back_up(from_environment(options.journal), to=options.to)
    if kept is None:
        raise RuntimeError("A journal on PostgreSQL is backed up with pg_dump.")
    print(kept)


def _restore(options: argparse.Namespace) -> None:
    from app.backup import restore

    config = from_environment(options.journal)
    set_aside = restore(config, options.file)
    if set_aside:
        print(f"The journal that was there is kept at {set_aside}")
    print(f"Restored {config.sqlite_path}")


def _check(options: argparse.Namespace) -> int:
    from app.backup import find_damage

    config = from_environment(options.journal)
    findings = find_damage(config)
    for finding in findings:
        print(finding)
    if not findings:
        print(f"{config.sqlite_path} is sound.")
    return 1 if findings else 0
