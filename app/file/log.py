"""Whether the log beside a SQLite journal can be read to its end.

SQLite takes no more of a log than is sound and says nothing of the rest, so saved changes would be
gone without a word. The layout is that of https://www.sqlite.org/fileformat2.html#walformat.
"""

import struct
from pathlib import Path

from app.file.opened import beside

HEADER_BYTES, FRAME_BYTES = 32, 24
MAGIC = 0x377F0682  # the lowest bit says in which byte order sums are worked out
MOST_BYTES = 16 * 1024 * 1024
DAMAGED = "The log beside the journal is damaged, and the latest changes are in it."


def log_findings(journal: Path) -> list[str]:
    """One sentence if changes that were saved can no longer be read from the log.

    A last transaction that was cut off by a power cut is no damage: it was never said to be saved.
    """
    try:
        with beside(journal, "-wal").open("rb") as file:
            log = file.read(MOST_BYTES)
    except OSError:
        return []
    return [DAMAGED] if len(log) > HEADER_BYTES and any(log) and not _is_sound(log) else []


def _is_sound(log: bytes) -> bool:
    magic, _, page_bytes, _, salt_1, salt_2, *sums = struct.unpack(">8I", log[:HEADER_BYTES])
    order = ">" if magic & 1 else "<"
    if magic & ~1 != MAGIC or _sum(order, log[:24], (0, 0)) != tuple(sums):
        return False
    running, salts = (sums[0], sums[1]), [salt_1, salt_2]
    sound, unread = True, 0
    step = FRAME_BYTES + page_bytes
    for at in range(HEADER_BYTES, len(log) - step + 1, step):
        _, commits, *told = struct.unpack(">6I", log[at : at + FRAME_BYTES])
        of_this_round = told[:2] == salts  # others are left from an earlier round of the log
        if sound and of_this_round:
            running = _sum(order, log[at : at + 8] + log[at + FRAME_BYTES : at + step], running)
        sound = sound and of_this_round and running == tuple(told[2:])
        unread += of_this_round and not sound and commits > 0
    return unread < 2


def _sum(order: str, data: bytes, start: tuple[int, int]) -> tuple[int, int]:
    first, second = start
    words = struct.unpack(f"{order}{len(data) // 4}I", data)
    for even, odd in zip(words[::2], words[1::2], strict=True):
        first = (first + even + second) & 0xFFFFFFFF
        second = (second + odd + first) & 0xFFFFFFFF
    return first, second
