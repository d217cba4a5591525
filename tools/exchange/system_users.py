"""Temporary system users for `make exchange`: made, worked as, and always removed again. Needs root."""

from __future__ import annotations

import os
import pwd
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import NoReturn

#: What a person finds on the path besides the course's environment.
PROGRAMS = "/usr/local/bin:/usr/bin:/bin"


class CannotRunError(Exception):
    """Something that this machine lacks; the message says what and how to get it."""


@dataclass(frozen=True)
class Person:
    """A system user with a home of their own, who can run commands as nobody else."""

    name: str
    home: Path
    umask: int = 0o022
    settings: Mapping[str, str] = field(default_factory=dict)

    def run(self, *words: str | Path, folder: Path | None = None) -> subprocess.CompletedProcess[str]:
        """Run a command as this user, in the home where no folder is named, and return how it ended."""
        entry = pwd.getpwnam(self.name)
        known = {"HOME": str(self.home), "USER": self.name, "LOGNAME": self.name, "PATH": PROGRAMS, "LANG": "C.UTF-8"}
        return subprocess.run(
            [str(word) for word in words],
            cwd=folder or self.home,
            env={**known, **self.settings},
            user=entry.pw_uid,
            group=entry.pw_gid,
            extra_groups=[],
            umask=self.umask,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            errors="replace",
            check=False,
        )


def problem() -> str:
    """Return why no users can be made here, in a sentence with the cure; nothing where they can."""
    if sys.platform != "linux":
        return "This needs Linux: it makes system users with useradd and removes them again."
    if os.geteuid() != 0:
        return (
            "This needs root: it makes three system users, works as each of them and removes them again. "
            "Type:  sudo make exchange   (in a container or a virtual machine, if you would rather)"
        )
    missing = [name for name in ("useradd", "userdel") if shutil.which(name) is None]
    if missing:
        return f"{' and '.join(missing)} cannot be found. On Debian or Ubuntu type:  apt-get install passwd"
    return ""


@contextmanager
def temporary_users(homes: Path, *people: Person) -> Iterator[None]:
    """Make these users, each with an empty home inside ``homes``, and remove them whatever happens in the block."""
    there = [one.name for one in people if _exists(one.name)]
    if there:
        raise CannotRunError(
            f"There is a system user {', '.join(there)} already. If a run before this one was killed, "
            f"remove what it left:  {' && '.join(f'userdel {name}' for name in there)}"
        )
    before = signal.signal(signal.SIGTERM, _stop)  # a polite kill ends the block too
    made: list[str] = []
    try:
        for one in people:
            made.append(one.name)
            words = ["useradd", "--no-log-init", "--no-create-home", "--user-group", "--shell", "/bin/sh"]
            subprocess.run([*words, "--home-dir", str(one.home), one.name], check=True)
            one.home.mkdir(mode=0o700, parents=True)
            entry = pwd.getpwnam(one.name)
            os.chown(one.home, entry.pw_uid, entry.pw_gid)
        yield
    finally:
        for name in filter(_exists, made):
            subprocess.run(["userdel", name], check=False)
        signal.signal(signal.SIGTERM, before)


def give(path: Path, owner: Person) -> None:
    """Make somebody the owner of a folder and of everything in it."""
    entry = pwd.getpwnam(owner.name)
    for one in (path, *path.rglob("*")):
        os.chown(one, entry.pw_uid, entry.pw_gid, follow_symlinks=False)


def _exists(name: str) -> bool:
    try:
        pwd.getpwnam(name)
    except KeyError:
        return False
    return True


def _stop(*_: object) -> NoReturn:
    raise SystemExit("Stopped.")
