"""Open what a learning platform hands over: a folder, a zip, or one file. Nothing is unpacked to disk here.

Files come out one at a time, with their bytes or with the reason why they cannot be taken: links, paths that lead
outside, files that are too large, zips in zips. What a zip says of sizes is not believed; reading stops at the limit.
"""

from __future__ import annotations

import os
import stat
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path, PurePosixPath

from pharmcalc.classroom.handin import LARGEST_FILE
from pharmcalc.errors import CourseError

MOST_FILES = 20_000
_SKIPPED = ("__MACOSX", ".ipynb_checkpoints", ".DS_Store", "Thumbs.db", "desktop.ini")
#: Browsers and mail programs add an ending of their own to a file that they do not know.
_ENDINGS = (".ipynb", ".ipynb.txt", ".ipynb.json")
_RECORDS = (".json", ".json.txt")


@dataclass(frozen=True)
class Item:
    """One file as it came: its bytes, or the reason why it was not taken."""

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
        There is nothing at ``source``, or it is none of these.
    """
    if source.is_dir():
        yield from _folder(source)
    elif not source.is_file():
        raise CourseError(f"{source}: there is nothing there. Give the folder or the zip from the learning platform.")
    elif zipfile.is_zipfile(source):
        yield from _zip(source)
    elif source.name.lower().endswith(_ENDINGS + _RECORDS):
        yield _file(source, source.name)
    else:
        raise CourseError(
            f"{source}: this is neither a folder nor a zip nor a notebook (.ipynb) nor a bench record (.json). "
            "Give one of these."
        )


def _folder(top: Path) -> Iterator[Item]:
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
            yield _file(Path(folder) / name, _relative(Path(folder) / name, top))


def _relative(path: Path, top: Path) -> str:
    return path.relative_to(top).as_posix()


def _file(path: Path, name: str) -> Item:
    now = datetime.now(UTC)
    if path.is_symlink():
        return Item(name, now, refused="it is a link to another place")
    try:
        facts = path.stat()
        when = datetime.fromtimestamp(facts.st_mtime, UTC)
        if not stat.S_ISREG(facts.st_mode):
            return Item(name, when, refused="it is not a file")
        with path.open("rb") as file:
            return _bounded(name, when, file.read(LARGEST_FILE + 1))
    except OSError as trouble:
        return Item(name, now, refused=f"it cannot be opened ({trouble.strerror})")


def _bounded(name: str, when: datetime, data: bytes) -> Item:
    if len(data) > LARGEST_FILE:
        return Item(name, when, refused=f"it is larger than {LARGEST_FILE // 2**20} MB; ask for it without outputs")
    return Item(name, when, data)


def _zip(path: Path) -> Iterator[Item]:
    with zipfile.ZipFile(path) as archive:
        entries = archive.infolist()
        if len(entries) > MOST_FILES:
            raise CourseError(f"{path}: more than {MOST_FILES} files in the zip. Give this assignment's hand-ins only.")
        for entry in entries:
            if not entry.is_dir() and not any(part in _SKIPPED for part in PurePosixPath(entry.filename).parts):
                yield _entry(archive, entry)


def _entry(archive: zipfile.ZipFile, entry: zipfile.ZipInfo) -> Item:
    name = entry.filename.replace("\\", "/")
    try:
        when = datetime(*entry.date_time, tzinfo=UTC)
    except ValueError:
        when = datetime.now(UTC)
    path = PurePosixPath(name)
    if path.is_absolute() or ".." in path.parts or ":" in name.split("/")[0]:
        return Item(name, when, refused="its path leads outside the zip")
    if stat.S_ISLNK(entry.external_attr >> 16):
        return Item(name, when, refused="it is a link to another place")
    if entry.flag_bits & 0x1:
        return Item(name, when, refused="it is locked with a password")
    if name.lower().endswith(".zip"):
        return Item(name, when, refused="it is a zip inside the zip; unpack it and take it in by itself")
    try:
        with archive.open(entry) as file:
            return _bounded(name, when, file.read(LARGEST_FILE + 1))
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, EOFError, OSError, RuntimeError, ValueError):
        return Item(name, when, refused="the zip is damaged at this file; ask for it again")
