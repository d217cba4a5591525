"""Work that is spread over processes comes back in order, and one thing never takes the others with it."""

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from pharmcalc.classroom.marking.workers import WORTH_IT, spread
from pharmcalc.errors import CourseError
from tests.classroom.building import PROJECT

MANY = 3 * WORTH_IT
DEADLY = 20


def squared(number: int) -> tuple[int, int]:
    """Return a square, and the process that found it."""
    return number * number, os.getpid()


def choosy(number: int) -> int:
    """Refuse one number, and die of another."""
    if number == DEADLY:
        os.kill(os.getpid(), signal.SIGKILL)
    if number == DEADLY + 1:
        raise CourseError("this one is refused")
    return number


class UnsendableError(Exception):
    """An error that no process can send."""

    def __reduce__(self) -> str:
        raise TypeError("it stays here")


def unsendable(_: int) -> int:
    """Raise it."""
    raise UnsendableError


def test_the_order_is_kept() -> None:
    """What comes back stands in the order of what went in, and other processes did it."""
    done = list(spread(squared, range(MANY), expected=MANY, processes=2))
    assert [(thing, made[0]) for thing, made in done if isinstance(made, tuple)] == [(n, n * n) for n in range(MANY)]
    workers = {made[1] for _, made in done if isinstance(made, tuple)}
    assert workers
    assert os.getpid() not in workers
    assert len(workers) <= 2


@pytest.mark.parametrize(("expected", "processes"), [(WORTH_IT - 1, 2), (MANY, 1)])
def test_a_few_things_are_done_here(expected: int, processes: int) -> None:
    """For a few things, or with one processor, no process is started."""
    done = list(spread(squared, range(5), expected=expected, processes=processes))
    assert {made[1] for _, made in done if isinstance(made, tuple)} == {os.getpid()}


@pytest.mark.skipif(sys.platform == "win32", reason="there is no such signal")
def test_a_process_that_dies_takes_only_its_own_thing_along() -> None:
    """Of many things only the one that kills its process, and the one that is refused, come back with a reason."""
    done = dict(spread(choosy, range(MANY), expected=MANY, processes=2))
    wrong = {thing: str(made) for thing, made in done.items() if made != thing}
    assert sorted(done) == list(range(MANY))
    assert sorted(wrong) == [DEADLY, DEADLY + 1]
    assert "stopped" in wrong[DEADLY]
    assert wrong[DEADLY + 1] == "this one is refused"


def test_an_error_that_cannot_be_sent_is_still_an_error() -> None:
    """Whatever goes wrong in a process comes back as an error of that thing."""
    done = list(spread(unsendable, range(MANY), expected=MANY, processes=2))
    assert len(done) == MANY
    assert all(isinstance(made, Exception) for _, made in done)


def test_things_are_taken_only_a_few_ahead() -> None:
    """However many things there are, only a handful of them is held."""
    taken = 0

    def things() -> Iterator[int]:
        nonlocal taken
        while taken < 10 * MANY:
            taken += 1
            yield taken

    most = 0
    for given, (_, _) in enumerate(spread(squared, things(), expected=MANY, processes=2), 1):
        most = max(most, taken - given)
    assert 0 < most <= 8


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="processes are looked up in /proc")
def test_the_processes_end_with_the_one_that_started_them() -> None:
    """Killed in the middle of its work, a program leaves no process behind; and it needs no guard against itself."""
    program = (
        "import os, signal\n"
        "from pharmcalc.classroom.marking.workers import spread\n"
        "from tests.classroom.test_workers import squared\n"
        "for _, (_, worker) in spread(squared, range(1000), expected=1000, processes=2):\n"
        "    os.write(1, b'%d\\n' % worker)\n"
        "    os.kill(os.getpid(), signal.SIGKILL)\n"
    )
    env = {**os.environ, "PYTHONPATH": str(PROJECT)}
    # The pipe closes when the last process that holds it has ended: then, and only then, does this return.
    done = subprocess.run([sys.executable, "-c", program], env=env, capture_output=True, text=True, timeout=60)
    assert done.returncode == -signal.SIGKILL, done.stderr
    (worker,) = done.stdout.split()
    assert not runs(worker)


def runs(process: str) -> bool:
    """Say whether a process is at work: neither gone nor waiting for its parent to take notice."""
    try:
        return Path(f"/proc/{process}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False
