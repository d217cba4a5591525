"""Work on many things in several processes, where that pays; in order, and never stopped by one of them.

The processes are started afresh (not forked), so that it is the same on every system and in a notebook. They end
with the process that started them, however that ends.
"""

from __future__ import annotations

import os
import sys
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import connection, get_context, parent_process
from types import ModuleType
from typing import Any, TypeVar

from pharmcalc.errors import CourseError

T = TypeVar("T")
R = TypeVar("R")

__all__ = ["WORTH_IT", "processors", "spread"]

#: With fewer things than this, starting other processes takes longer than it saves.
WORTH_IT = 12
MOST_PROCESSES = 8
_AHEAD = 4
_STOPPED = "the process that worked on it was stopped by the system; look at the file by hand"


def processors() -> int:
    """Return how many processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def spread(
    work: Callable[[T], R], things: Iterable[T], *, expected: int, processes: int | None = None
) -> Iterator[tuple[T, R | Exception]]:
    """Yield each thing, in order, with what ``work`` made of it or with the exception that it raised.

    Parameters
    ----------
    work
        A function, or an object that can be called, which other processes can be sent. It is sent once.
    things
        What to work on; taken only a few ahead of what is yielded, so memory stays flat.
    expected
        About how many things there are: a few are worked on in this process.
    processes
        How many processes; as many as there are processors unless given, and 8 at most.

    Notes
    -----
    Should a process die (killed by the system for want of memory, say), the things that were at work are tried once
    more, one by one; only what stops its process again comes back as a ``CourseError``.
    """
    count = min(processors() if processes is None else processes, MOST_PROCESSES)
    if count < 2 or expected < WORTH_IT:
        yield from ((thing, _done(work, thing)) for thing in things)
        return
    waiting: deque[tuple[T, Future[R | Exception]]] = deque()
    rest = iter(things)
    pool = _pool(work, count)
    try:
        while True:
            while len(waiting) < _AHEAD * count and (thing := next(rest, _END)) is not _END:
                waiting.append((thing, _submit(pool, thing)))
            if not waiting:
                return
            thing, made = waiting[0]
            try:
                result = made.result()
            except BrokenProcessPool:
                pool.shutdown(wait=False, cancel_futures=True)
                yield from ((lost, _alone(work, lost)) for lost, _ in waiting)
                waiting.clear()
                pool = _pool(work, count)
                continue
            except Exception as trouble:  # noqa: BLE001  # what cannot be sent back
                result = trouble
            waiting.popleft()
            yield thing, result
    finally:
        pool.shutdown(wait=False, cancel_futures=True)


_END: Any = object()
_work: Callable[[Any], Any] | None = None


def _pool(work: Callable[[Any], Any], count: int) -> ProcessPoolExecutor:
    return ProcessPoolExecutor(count, get_context("spawn"), _begin, (work,))


def _submit(pool: ProcessPoolExecutor, thing: Any) -> Future[Any]:
    """Hand a thing over; should that start a process, it starts with an empty main module.

    Otherwise it would load the program that this one was started as, and a script without a guard would run twice.
    """
    main = sys.modules["__main__"]
    sys.modules["__main__"] = ModuleType("__main__")
    try:
        return pool.submit(_here, thing)
    except BrokenProcessPool as trouble:  # a process died just now: told when it is this thing's turn
        broken: Future[Any] = Future()
        broken.set_exception(trouble)
        return broken
    finally:
        sys.modules["__main__"] = main


def _begin(work: Callable[[Any], Any]) -> None:
    """Prepare a process: keep the work, and end when the process that started this one is gone."""
    global _work  # one process, one work
    _work = work
    parent = parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent.sentinel,), daemon=True).start()


def _end_with(sentinel: int) -> None:
    connection.wait([sentinel])
    os._exit(1)


def _here(thing: Any) -> Any:
    assert _work is not None, "the process was prepared"
    return _done(_work, thing)


def _done(work: Callable[[T], R], thing: T) -> R | Exception:
    try:
        return work(thing)
    except Exception as trouble:  # noqa: BLE001  # handed to whoever asked
        return trouble


def _alone(work: Callable[[T], R], thing: T) -> R | Exception:
    """Work on one thing in a process of its own."""
    with _pool(work, 1) as pool:
        try:
            result: R | Exception = _submit(pool, thing).result()
            return result
        except BrokenProcessPool:
            return CourseError(_STOPPED)
