"""A package that was sent, kept from the look at it until it comes in."""

from __future__ import annotations

import os
import re
import shutil
from contextlib import suppress
from pathlib import Path
from time import time
from uuid import uuid4

from werkzeug.datastructures import FileStorage

from app.config import Config

KEPT_S = 3600
_KEY = re.compile(r"[0-9a-f]{32}")


def keep(config: Config, upload: FileStorage) -> str:
    """Keep the file of an upload; returns the key it is found by. Raises OSError."""
    folder = _folder(config)
    clear(config)
    folder.mkdir(mode=0o700, exist_ok=True)
    key = uuid4().hex
    handle = os.open(folder / f"{key}.zip", os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as file:
        shutil.copyfileobj(upload.stream, file)
    return key


def kept(config: Config, key: str) -> Path | None:
    """None for what is no key, or was kept too long ago."""
    path = _folder(config) / f"{key}.zip"
    return path if _KEY.fullmatch(key) and path.is_file() else None


def forget(config: Config, key: str) -> None:
    path = kept(config, key)
    if path is not None:
        path.unlink(missing_ok=True)
    clear(config)


def clear(config: Config) -> None:
    """What nobody brought in goes after an hour, the folder with the last file."""
    folder = _folder(config)
    old = [path for path in folder.glob("*.zip") if path.stat().st_mtime < time() - KEPT_S]
    for path in old:
        path.unlink(missing_ok=True)
    with suppress(OSError):  # something is in it, or another request has removed it
        folder.rmdir()


def _folder(config: Config) -> Path:
    return config.home / "incoming"
