"""The code of a paper: seven signs that are hard to misread, the last of which checks the others.

The signs are the 31 capital letters and digits without I, L, O, 0 and 1. 31 is a prime number, so one wrong sign, and
any two signs that changed places, always give a code that is refused.
"""

import hashlib

from pharmcalc.errors import CourseError

__all__ = ["ALPHABET", "LENGTH", "code_for", "looks_like_a_code", "near", "read_code"]

ALPHABET = "ABCDEFGHJKMNPQRSTUVWXYZ23456789"
LENGTH = 7
_LEFT_OUT = "ILO01"


def code_for(key: str) -> str:
    """Return the code of what a key names: the same key has the same code, another one (almost surely) another.

    >>> code_for("pharmcalc|1|weighing-1|A-07|1")
    'YM6BR37'
    """
    number = int.from_bytes(hashlib.sha256(key.encode()).digest()[:8], "big")
    signs = []
    for _ in range(LENGTH - 1):
        number, place = divmod(number, len(ALPHABET))
        signs.append(ALPHABET[place])
    return "".join(signs) + _check("".join(signs))


def read_code(text: str) -> str:
    """Return a code as it was typed from paper; small letters, blanks and hyphens make no difference.

    Raises CourseError that says what is wrong: another length, a sign that no code has, or a typing mistake.

    >>> read_code("ym6 br37")
    'YM6BR37'
    """
    typed = _signs(text)
    said = f'"{" ".join(text.split())[:40]}"'
    wrong = sorted({sign for sign in typed if sign not in ALPHABET})
    if wrong:
        never = f" (a code never has {', '.join(_LEFT_OUT)})" if set(wrong) & set(_LEFT_OUT) else ""
        raise CourseError(f"{said} is no paper code: {wrong[0]} does not occur in one{never}. Look at the sheet again.")
    if len(typed) != LENGTH:
        raise CourseError(
            f"{said} is no paper code: it has {len(typed)} signs, and a code has {LENGTH}. Look at the sheet again."
        )
    if _check(typed[:-1]) != typed[-1]:
        raise CourseError(f"{said} is mistyped: its last sign does not fit the others. Look at the sheet again.")
    return typed


def looks_like_a_code(text: str) -> bool:
    """Say whether a text was meant as a code, mistyped or not.

    >>> looks_like_a_code("ym6 br3v"), looks_like_a_code("A-07")
    (True, False)
    """
    signs = _signs(text)
    return LENGTH - 1 <= len(signs) <= LENGTH + 1 and signs.isalnum() and signs.isascii()


def near(text: str, codes: list[str]) -> list[str]:
    """Return those of the codes that a mistyped one may have been: one sign wrong, missing or too many, or two swapped.

    >>> near("YM6RB37", ["YM6BR37", "AAAAAAA"])
    ['YM6BR37']
    """
    typed = _signs(text)
    return [code for code in codes if code != typed and _is_near(typed, code)]


def _signs(text: str) -> str:
    return "".join(text.upper().split()).replace("-", "")


def _check(signs: str) -> str:
    """Return the sign that makes the sum of all places, each times its position, a multiple of 31."""
    total = sum(position * ALPHABET.index(sign) for position, sign in enumerate(signs, 2))
    return ALPHABET[-total % len(ALPHABET)]  # the check sign itself stands at position 1


def _is_near(typed: str, code: str) -> bool:
    if len(typed) == len(code):
        differ = [place for place in range(len(code)) if typed[place] != code[place]]
        if len(differ) == 2:
            first, second = differ
            return (typed[first], typed[second]) == (code[second], code[first])
        return len(differ) <= 1
    longer, shorter = (typed, code) if len(typed) > len(code) else (code, typed)
    return any(longer[:place] + longer[place + 1 :] == shorter for place in range(len(longer)))
