"""A power cut, simulated: what a disk may hold if the current goes at any moment.

A program runs under strace, which notes each thing it asks of the files in one folder, and each
answer it sends. From these notes the folder is built again as it may be found after a power cut
at any point: what was synced (fsync, fdatasync) is there; of what was written after, each sector
of 512 bytes is there or not, by chance, whatever its order; of the names made, changed and removed
since their folder was synced, those up to a point drawn by chance. That is harsher than most disks;
one that says it synced and did not is beyond it.
"""

from __future__ import annotations

import os
import random
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

SECTOR = 512
CALLS = (
    "openat,close,lseek,write,pwrite64,writev,pwritev,ftruncate,fsync,fdatasync,rename,renameat,"
    "renameat2,unlink,unlinkat,sendto,sendfile,copy_file_range,mkdir"
)
LINE = re.compile(r"(\d+) +(?:(\w+)\((.*)|<\.\.\. (\w+) resumed>(.*))")
RESULT = re.compile(r"\) += (\d+)(?:<([^>]*)>)?$")
FD = re.compile(r"(\d+)<([^>]*)>")
TEXT = re.compile(r'"((?:\\x[0-9a-f]{2})*)"')


def under_strace(notes: Path, command: list[str]) -> list[str]:
    """The command, run in the same process, so that what it does to files is written to `notes`."""
    watch = ["strace", "-D", "-f", "-qq", "-y", "-xx", "-s", "4000000", "-e", f"trace={CALLS}"]
    return [*watch, "-o", str(notes), *command]


@dataclass
class _Write:
    """Bytes at an offset, or with none of them, everything from the offset on cut off."""

    ended: int
    offset: int
    data: bytes | None


@dataclass
class _File:
    """What is synced, and what was done since."""

    synced: bytearray = field(default_factory=bytearray)
    since: list[_Write] = field(default_factory=list)

    def whole(self) -> bytearray:
        content = bytearray(self.synced)
        for write in self.since:
            _apply(content, write.offset, write.data)
        return content

    def sync(self, began: int) -> None:
        """What had ended when the sync began is on the disk."""
        while self.since and self.since[0].ended < began:
            write = self.since.pop(0)
            _apply(self.synced, write.offset, write.data)

    def after_cut(self, chance: random.Random, share: float) -> bytearray:
        content = bytearray(self.synced)
        for write in self.since:
            data = write.data
            if data is None:
                if chance.random() < share:
                    _apply(content, write.offset, None)
                continue
            for start in range(0, len(data), SECTOR):
                if chance.random() < share:
                    _apply(content, write.offset + start, data[start : start + SECTOR])
        return content


@dataclass
class _Naming:
    """A name in a folder that from now on means this file, or none."""

    ended: int
    path: str
    file: _File | None

    def apply(self, names: dict[str, _File]) -> None:
        names.pop(self.path, None)
        if self.file is not None:
            names[self.path] = self.file


def _apply(content: bytearray, offset: int, data: bytes | None) -> None:
    if data is None:
        del content[offset:]
    if len(content) < offset:
        content.extend(bytes(offset - len(content)))
    if data is not None:
        content[offset : offset + len(data)] = data


@dataclass(frozen=True)
class Call:
    """One call: its name, its arguments as strace wrote them, what it gave back."""

    name: str
    args: str
    result: int
    began: int
    result_path: str

    def fd(self) -> tuple[int, str]:
        found = FD.match(self.args)
        return (int(found[1]), _path(found[2])) if found else (-1, "")

    def sent(self) -> bytes:
        """What it sent over the network, if it did."""
        return b"".join(self.texts()) if self.name == "sendto" else b""

    def texts(self) -> list[bytes]:
        return [bytes.fromhex(text.replace("\\x", "")) for text in TEXT.findall(self.args)]


def _path(written: str) -> str:
    """With -xx, strace writes paths of descriptors in hex as well."""
    if written.startswith("\\x"):
        return bytes.fromhex(written.replace("\\x", "")).decode(errors="replace")
    return written


def calls(notes: Path) -> Iterator[Call]:
    """The calls in the order they ended; `began` counts the calls that had ended before it began.

    A call that never ended did nothing that counts.
    """
    begun: dict[str, tuple[str, str, int]] = {}
    ended = 0
    for line in notes.read_text(errors="replace").splitlines():
        found = LINE.match(line)
        if not found:
            continue
        thread, name, rest, resumed, end = found.groups()
        if resumed:
            name, rest, began = begun.pop(thread)
            rest += end
        elif rest.endswith("<unfinished ...>"):
            begun[thread] = (name, rest.removesuffix("<unfinished ...>"), ended)
            continue
        else:
            began = ended
        answer = RESULT.search(rest)
        if answer:
            yield Call(name, rest[: answer.start()], int(answer[1]), began, answer[2] or "")
            ended += 1


class Disk:
    """The folder as the program sees it, and as it may be after a power cut."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.names = {
            str(path): _File(bytearray(path.read_bytes()))
            for path in folder.rglob("*")
            if path.is_file() and not path.name.endswith("-shm")
        }
        self._synced_names = dict(self.names)
        self._namings: list[_Naming] = []
        self._at: dict[int, int] = {}
        self._ended = 0

    def heed(self, call: Call) -> None:
        work = getattr(self, f"_{call.name}", None)
        if work:
            work(call)
        self._ended += 1

    def cut(self, target: Path, chance: random.Random) -> None:
        """Write the folder to `target` as it may be found after a power cut now."""
        names = dict(self._synced_names)
        for naming in self._namings[: chance.randint(0, len(self._namings))]:
            naming.apply(names)
        share = chance.choice((0.0, 0.5, 0.5, 1.0))
        shutil.rmtree(target, ignore_errors=True)
        target.mkdir(parents=True)
        for path, file in names.items():
            place = target / Path(path).relative_to(self.folder)
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(file.after_cut(chance, share))

    def _name(self, path: str, file: _File | None) -> None:
        naming = _Naming(self._ended, path, file)
        naming.apply(self.names)
        self._namings.append(naming)

    def _ours(self, path: str) -> bool:
        return path.startswith(f"{self.folder}/") and not path.endswith(("-shm", "(deleted)"))

    def _openat(self, call: Call) -> None:
        path = _path(call.result_path)
        if not self._ours(path) or "O_DIRECTORY" in call.args or Path(path).is_dir():
            return
        self._at[call.result] = 0
        if path not in self.names and "O_CREAT" in call.args:
            self._name(path, _File())
        if path in self.names and "O_TRUNC" in call.args:
            self._write_to(path, 0, None)
        if path in self.names and "O_APPEND" in call.args:
            self._at[call.result] = len(self.names[path].whole())

    def _write_to(self, path: str, offset: int, data: bytes | None) -> None:
        if self._ours(path) and path in self.names:
            self.names[path].since.append(_Write(self._ended, offset, data))

    def _lseek(self, call: Call) -> None:
        self._at[call.fd()[0]] = call.result

    def _write(self, call: Call) -> None:
        fd, path = call.fd()
        data = b"".join(call.texts())[: call.result]
        self._write_to(path, self._at.get(fd, 0), data)
        self._at[fd] = self._at.get(fd, 0) + call.result

    _writev = _write

    def _pwrite64(self, call: Call) -> None:
        offset = int(call.args.rpartition(", ")[2])
        self._write_to(call.fd()[1], offset, b"".join(call.texts())[: call.result])

    _pwritev = _pwrite64

    def _ftruncate(self, call: Call) -> None:
        size = int(call.args.rpartition(", ")[2])
        path = call.fd()[1]
        if self._ours(path) and path in self.names:
            length = len(self.names[path].whole())
            if size > length:
                self._write_to(path, length, bytes(size - length))
            else:
                self._write_to(path, size, None)

    def _sendfile(self, call: Call) -> None:
        into, source = FD.findall(call.args)[:2]
        self._copy(int(source[0]), _path(source[1]), int(into[0]), _path(into[1]), call.result)

    def _copy_file_range(self, call: Call) -> None:
        source, into = FD.findall(call.args)[:2]
        self._copy(int(source[0]), _path(source[1]), int(into[0]), _path(into[1]), call.result)

    def _copy(self, source_fd: int, source: str, fd: int, path: str, count: int) -> None:
        """Both keep their places; what is copied is what the source holds, ours or another's."""
        start = self._at.get(source_fd, 0)
        held = self.names[source].whole() if source in self.names else Path(source).read_bytes()
        self._write_to(path, self._at.get(fd, 0), bytes(held[start : start + count]))
        self._at[source_fd] = start + count
        self._at[fd] = self._at.get(fd, 0) + count

    def _fsync(self, call: Call) -> None:
        path = call.fd()[1]
        if path in self.names:
            self.names[path].sync(call.began)
            return
        kept = []
        for naming in self._namings:
            if naming.ended < call.began and os.path.dirname(naming.path) == path.rstrip("/"):
                naming.apply(self._synced_names)
            else:
                kept.append(naming)
        self._namings = kept

    _fdatasync = _fsync

    def _rename(self, call: Call) -> None:
        old, new = (os.path.normpath(text.decode()) for text in call.texts()[:2])
        if self._ours(old) and old in self.names:
            file = self.names[old]
            self._name(new, file)
            self._name(old, None)

    _renameat = _renameat2 = _rename

    def _unlink(self, call: Call) -> None:
        path = os.path.normpath(call.texts()[0].decode())
        if path in self.names:
            self._name(path, None)

    _unlinkat = _unlink
