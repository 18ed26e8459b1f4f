"""Whether the SQLite that Python brings has a known fault."""

import sqlite3

# "WAL-reset database corruption bug", https://sqlite.org/changes.html
MENDED_IN = ((3, 51, 3), (3, 53, 0))


def sqlite_remark(version: tuple[int, int, int] = sqlite3.sqlite_version_info) -> str:
    """A sentence about a fault, empty if there is none. It is no damage."""
    if version >= MENDED_IN[1] or MENDED_IN[0] <= version < (3, 52, 0):
        return ""
    number, newer = (".".join(map(str, each)) for each in (version, MENDED_IN[0]))
    return (
        f"A remark: this Python brings SQLite {number}. Before {newer} it has a very rare fault "
        "that can damage a file which two connections write at the same instant; Oddcup lets only "
        "one process serve a journal. A Python with a newer SQLite does not have the fault."
    )
