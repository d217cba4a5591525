"""Drawing numbers: the same key gives the same numbers on every machine and in every version of Python.

The numbers come from a cryptographic digest of the key, never from ``hash()`` or a library's random stream.
"""

import hashlib
from collections.abc import Sequence
from typing import TypeVar

__all__ = ["Dice"]

T = TypeVar("T")


class Dice:
    """A stream of choices that depends on its key and on nothing else.

    >>> Dice("demo").pick("abcdef"), Dice("demo").pick("abcdef") == Dice("demo").pick("abcdef")
    ('b', True)
    """

    def __init__(self, key: str) -> None:
        self.key = key
        self._drawn = 0

    def below(self, count: int) -> int:
        """Return a whole number from 0 up to, not including, ``count``; each is equally likely."""
        if not 0 < count < 2**32:
            raise ValueError(f"dice need between 1 and 2**32 sides, not {count}")
        fair = 2**64 - 2**64 % count
        while True:
            digest = hashlib.sha256(f"{self.key}#{self._drawn}".encode()).digest()
            self._drawn += 1
            number = int.from_bytes(digest[:8], "big")
            if number < fair:
                return number % count

    def pick(self, choices: Sequence[T]) -> T:
        """Return one of the choices."""
        return choices[self.below(len(choices))]

    def between(self, first: int, last: int, step: int = 1) -> int:
        """Return one of ``first``, ``first + step``, ... up to ``last``."""
        return first + step * self.below((last - first) // step + 1)

    def shuffled(self, choices: Sequence[T]) -> list[T]:
        """Return the choices in a drawn order."""
        left = list(choices)
        return [left.pop(self.below(len(left))) for _ in range(len(left))]
