"""Open what a learning platform hands over: a folder, a zip, or one file. Nothing is unpacked to disk here.

Files come out one at a time, with their bytes or with the reason why they cannot be taken: links, paths that lead
outside, files that are too large, zips in zips. What a zip says of sizes is not believed; reading stops at the limit.
Only what may be a notebook or a bench record is read at all.
"""

from __future__ import annotations

import os
import re
import stat
import struct
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path, PurePosixPath
from typing import IO

from pharmcalc.classroom.handed_in.handin import LARGEST_FILE
from pharmcalc.classroom.handed_in.naming import safe_path
from pharmcalc.errors import CourseError

_EXACT_TIME = 0x5455  # the field in which zip programs keep seconds since 1970
MOST_FILES = 20_000
#: Read from one parcel at most: a class of a thousand has some hundred megabytes.
LARGEST_PARCEL = 2**30
_SKIPPED = ("__MACOSX", ".ipynb_checkpoints", ".DS_Store", "Thumbs.db", "desktop.ini")
#: Browsers and mail programs add an ending of their own to a file that they do not know.
_ENDINGS = (".ipynb", ".ipynb.txt", ".ipynb.json")
_RECORDS = (".json", ".json.txt")
_DRIVE = re.compile(r"[A-Za-z]:")
_DAMAGED = (
    zipfile.BadZipFile,
    zlib.error,
    struct.error,
    NotImplementedError,
    EOFError,
    OSError,
    RuntimeError,
    ValueError,
)


@dataclass(frozen=True)
class Item:
    """One file as it came: its bytes, or the reason why it was not taken. Other files than ours have no bytes."""

    name: str
    when: datetime
    data: bytes = b""
    refused: str = ""

    @property
    def is_notebook(self) -> bool:
        """Whether the name is a notebook's."""
        return self.name.lower().endswith(_ENDINGS)

    @property
    def is_json(self) -> bool:
        """Whether the name is that of another file in JSON, as a bench record is."""
        return not self.is_notebook and self.name.lower().endswith(_RECORDS)

    @property
    def stem(self) -> str:
        """The file's name without folder and ending."""
        name = PurePosixPath(self.name).name
        for ending in sorted(_ENDINGS + _RECORDS, key=len, reverse=True):
            if name.lower().endswith(ending):
                return name[: -len(ending)]
        return name


def open_parcel(source: Path) -> Iterator[Item]:
    """Yield every file in ``source``: a folder, a zip, or a single notebook or bench record.

    Raises
    ------
    CourseError
        There is nothing at ``source``, it is none of these, or it is a zip whose list of files cannot be read.
    """
    reader = _Reader()
    if source.is_dir():
        yield from _folder(source, reader)
    elif not source.is_file():
        raise CourseError(f"{source}: there is nothing there. Give the folder or the zip from the learning platform.")
    elif zipfile.is_zipfile(source):
        yield from _zip(source, reader)
    elif _is_ours(source.name):
        yield _file(source, safe_path(source.name), reader)
    else:
        raise CourseError(
            f"{source}: this is neither a folder nor a zip nor a notebook (.ipynb) nor a bench record (.json). "
            "Give one of these."
        )


def _is_ours(name: str) -> bool:
    return name.lower().endswith(_ENDINGS + _RECORDS)


class _Reader:
    """Reads files, each up to the limit for a file and all together up to the limit for a parcel."""

    def __init__(self) -> None:
        self._left = LARGEST_PARCEL

    def item(self, name: str, when: datetime, file: IO[bytes]) -> Item:
        """Return what stands in an open file."""
        data = file.read(min(LARGEST_FILE, self._left) + 1)
        if len(data) > LARGEST_FILE:
            self._left -= LARGEST_FILE
            return Item(name, when, refused=f"it is larger than {LARGEST_FILE // 2**20} MB; ask for it without outputs")
        if len(data) > self._left:
            most = LARGEST_PARCEL // 2**20
            return Item(name, when, refused=f"all before it has {most} MB already; take the rest in by itself")
        self._left -= len(data)
        return Item(name, when, data)


def _folder(top: Path, reader: _Reader) -> Iterator[Item]:
    count = 0
    for folder, folders, names in os.walk(top, followlinks=False):
        folders[:] = sorted(name for name in folders if name not in _SKIPPED)
        for name in [name for name in folders if (Path(folder) / name).is_symlink()]:
            folders.remove(name)
            yield Item(
                _relative(Path(folder) / name, top),
                datetime.now(UTC),
                refused="it is a link to another place",
            )
        for name in sorted(names):
            if name in _SKIPPED:
                continue
            count += 1
            if count > MOST_FILES:
                raise CourseError(
                    f"{top}: more than {MOST_FILES} files. Give the folder that holds this assignment only."
                )
            yield _file(Path(folder) / name, _relative(Path(folder) / name, top), reader)


def _relative(path: Path, top: Path) -> str:
    return safe_path(path.relative_to(top).as_posix())


def _file(path: Path, name: str, reader: _Reader) -> Item:
    now = datetime.now(UTC)
    if path.is_symlink():
        return Item(name, now, refused="it is a link to another place")
    try:
        facts = path.stat()
        when = _moment(facts.st_mtime)
        if not stat.S_ISREG(facts.st_mode):
            return Item(name, when, refused="it is not a file")
        if not _is_ours(name):
            return Item(name, when)
        with path.open("rb") as file:
            return reader.item(name, when, file)
    except OSError as trouble:
        return Item(name, now, refused=f"it cannot be opened ({trouble.strerror})")


def _moment(seconds: float) -> datetime:
    """Return a file's time; a file that claims a year of no calendar is of now."""
    try:
        return datetime.fromtimestamp(seconds, UTC)
    except (ValueError, OverflowError, OSError):
        return datetime.now(UTC)


def _moment_in_zip(entry: zipfile.ZipInfo) -> datetime:
    """Return an entry's time: its exact one (extra field 0x5455, seconds in UTC) where there is one.

    The other one says no time zone; zip programs write their own, so this computer's is taken.
    """
    extra = entry.extra
    while len(extra) >= 4:
        kind, size = struct.unpack("<HH", extra[:4])
        field, extra = extra[4 : 4 + size], extra[4 + size :]
        if kind == _EXACT_TIME and len(field) >= 5 and field[0] & 1:
            return _moment(struct.unpack("<i", field[1:5])[0])
    try:
        return datetime(*entry.date_time).astimezone(UTC)
    except (ValueError, OverflowError, OSError):
        return datetime.now(UTC)


def _zip(path: Path, reader: _Reader) -> Iterator[Item]:
    try:
        archive = zipfile.ZipFile(path)
    except _DAMAGED:
        raise CourseError(
            f"{path}: the zip is damaged at its list of files. Load it again, or unpack it and give the folder."
        ) from None
    with archive:
        entries = archive.infolist()
        if len(entries) > MOST_FILES:
            raise CourseError(f"{path}: more than {MOST_FILES} files in the zip. Give this assignment's hand-ins only.")
        for entry in entries:
            if not entry.is_dir() and not any(part in _SKIPPED for part in PurePosixPath(entry.filename).parts):
                yield _entry(archive, entry, reader)


def _entry(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, reader: _Reader) -> Item:
    path = entry.filename.replace("\\", "/")
    name = safe_path(path)
    when = _moment_in_zip(entry)
    kind = stat.S_IFMT(entry.external_attr >> 16)
    if path.startswith("/") or ".." in path.split("/") or _DRIVE.match(path):
        return Item(name, when, refused="its path leads outside the zip")
    if kind == stat.S_IFLNK:
        return Item(name, when, refused="it is a link to another place")
    if kind not in (0, stat.S_IFREG):
        return Item(name, when, refused="it is not a file")
    if name.lower().endswith(".zip"):
        return Item(name, when, refused="it is a zip inside the zip; unpack it and take it in by itself")
    if not _is_ours(name):
        return Item(name, when)
    if entry.flag_bits & 0x1:
        return Item(name, when, refused="it is locked with a password; ask for it without one")
    try:
        with archive.open(entry) as file:
            return reader.item(name, when, file)
    except _DAMAGED:
        return Item(name, when, refused="the zip is damaged at this file; ask for it again")
