"""A sheet that was sent, kept beside the journal from the look at it until it comes in.

A folder for each: `grids.json` has its cells, `state.json` what was chosen and mended, and
`progress.json` how far it is; who writes it holds `progress.json.lock`, which ends with the
process. Files, so that every server process knows them.
"""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from contextlib import suppress
from dataclasses import asdict, dataclass, field
from pathlib import Path
from time import time

from app.config import Config
from app.file.lock import InUse, Lock
from app.spreadsheet.files import grids_of
from app.spreadsheet.grids import Grid
from app.spreadsheet.matching import Matching, guessed

MOST_KEPT = 8
KEPT_S = 2 * 86_400


@dataclass(frozen=True)
class State:
    """What is known of a kept sheet. Lines are numbered as in the sheet, columns from 0.

    `twins` are lines that the journal has already: brought in only if that was asked for.
    """

    file_name: str
    zone: str
    sheet: int
    matching: Matching
    mended: dict[int, dict[int, str]] = field(default_factory=dict)
    left_out: list[int] = field(default_factory=list)
    bring_twins: bool = False


@dataclass(frozen=True)
class Progress:
    """How far the writing is; `import_id` when it is done, `why` when it came to nothing."""

    saved: int
    of: int
    import_id: int | None = None
    why: str = ""


def keep(config: Config, upload: Path, file_name: str, zone: str) -> int:
    """Read a file that was sent and keep what is in it. Raises Unreadable, and OSError."""
    grids = grids_of(upload)
    sheets = [guessed(grid) for grid in grids]
    best = max(range(len(grids)), key=lambda n: len(sheets[n].fields))
    number = int(_new(config).name)
    try:
        _write(_folder(config) / str(number) / "grids.json", [[g.name, g.lines] for g in grids])
        save(config, number, State(file_name, zone, best, sheets[best]))
    except OSError:
        forget(config, number)
        raise
    return number


def grids(config: Config, number: int) -> list[Grid]:
    return [Grid(name, lines) for name, lines in json.loads(_read(config, number, "grids.json"))]


def state(config: Config, number: int) -> State | None:
    """None where nothing is kept under this number."""
    try:
        plain = json.loads(_read(config, number, "state.json"))
    except (OSError, ValueError):
        return None
    mended = {int(n): {int(p): text for p, text in of.items()} for n, of in plain["mended"].items()}
    return State(**(plain | {"matching": Matching.from_plain(plain["matching"]), "mended": mended}))


def save(config: Config, number: int, kept: State) -> None:
    _write(_folder(config) / str(number) / "state.json", asdict(kept))


def choose_sheet(config: Config, number: int, kept: State, sheet: int) -> State:
    """Another sheet of the same file, its columns guessed anew."""
    of = grids(config, number)
    if not 0 <= sheet < len(of):
        return kept
    return State(kept.file_name, kept.zone, sheet, guessed(of[sheet]))


def progress(config: Config, number: int) -> Progress | None:
    """None where nothing was begun."""
    try:
        return Progress(**json.loads(_read(config, number, "progress.json")))
    except (OSError, ValueError, TypeError):
        return None


def tell(config: Config, number: int, done: Progress) -> None:
    _write(_folder(config) / str(number) / "progress.json", asdict(done))


def take_turn(config: Config, number: int) -> Lock | None:
    """The turn to write this sheet into the journal; None while another has it."""
    try:
        return Lock(_folder(config) / str(number) / "progress.json", "bringing in", wait_s=0.2)
    except (InUse, OSError):
        return None


def is_coming(config: Config, number: int) -> bool:
    """Whether it is being written. Ask before `progress`, which is final once this is over."""
    if not (_folder(config) / str(number) / "progress.json").exists():
        return False
    turn = take_turn(config, number)
    if turn:
        turn.release()
    return turn is None


def forget(config: Config, number: int) -> None:
    shutil.rmtree(_folder(config) / str(number), ignore_errors=True)
    _clear(config)


def _new(config: Config) -> Path:
    """The next number's folder; drawn with the folder, so that two at once get two."""
    _clear(config)
    top = _folder(config)
    top.mkdir(mode=0o700, exist_ok=True)
    while True:
        number = max((int(one.name) for one in _kept(top)), default=0) + 1
        with suppress(FileExistsError):
            (top / str(number)).mkdir(mode=0o700)
            return top / str(number)


def _clear(config: Config) -> None:
    """What nobody brought in goes after two days, or when there are too many; then the folder."""
    top = _folder(config)
    if not top.is_dir():
        return
    by_age = sorted(_kept(top), key=lambda one: one.stat().st_mtime, reverse=True)
    for place, one in enumerate(by_age):
        if place >= MOST_KEPT - 1 or one.stat().st_mtime < time() - KEPT_S:
            shutil.rmtree(one, ignore_errors=True)
    with suppress(OSError):
        top.rmdir()


def _kept(top: Path) -> list[Path]:
    return [one for one in top.iterdir() if one.name.isdigit() and one.is_dir()]


def _read(config: Config, number: int, name: str) -> str:
    return (_folder(config) / str(number) / name).read_text("utf-8")


def _write(path: Path, value: object) -> None:
    """Whole or not at all, and for this account only."""
    handle, name = tempfile.mkstemp(dir=path.parent)
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        json.dump(value, file, ensure_ascii=False)
    Path(name).replace(path)


def _folder(config: Config) -> Path:
    return config.home / "sheets"
