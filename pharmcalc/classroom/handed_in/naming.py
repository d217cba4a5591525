"""Names and words that somebody else wrote, made fit to be told in one line: of a terminal, a page or a spreadsheet."""

from __future__ import annotations

__all__ = ["file_part", "one_line", "safe_path"]

LONGEST_PART = 120
LONGEST_PATH = 300


def one_line(text: str, longest: int = LONGEST_PART) -> str:
    """Return the text on one line, without signs that cannot be seen, and cut in the middle where it is too long.

    Signs that cannot be seen can break a line, colour a terminal, or turn the order of the words round.

    >>> one_line("week\\u202e1\\n" + "x" * 200 + ".ipynb", 20)
    'week\\ufffd1\\ufffd...x.ipynb'
    """
    shown = "".join(c if c.isprintable() else "\ufffd" for c in text[: 4 * longest] + text[4 * longest :][-longest:])
    if len(shown) <= longest:
        return shown
    tail = longest * 2 // 5
    return f"{shown[: longest - tail - 3]}...{shown[-tail:]}"


def safe_path(name: str) -> str:
    """Return a file's path in a parcel, each part on one line; of a very long path the first and the last two parts."""
    parts = [one_line(part) for part in name.split("/")]
    whole = "/".join(parts)
    return whole if len(whole) <= LONGEST_PATH or len(parts) <= 3 else "/".join([parts[0], "...", *parts[-2:]])


def file_part(part: str, longest: int = 80) -> str:
    """Return a part of a path that every system can write: letters, digits and few signs, no device's name.

    >>> file_part("CON.ipynb"), file_part("week 1?.ipynb "), file_part("..")
    ('_CON.ipynb', 'week 1_.ipynb', '_')
    """
    kept = "".join(c if c.isascii() and (c.isalnum() or c in "._ ()-") else "_" for c in one_line(part, longest))
    kept = kept.strip(" ").rstrip(". ") or "_"
    return f"_{kept}" if kept.partition(".")[0].strip().upper() in _DEVICES else kept


_DEVICES = {"CON", "PRN", "AUX", "NUL", *(f"{port}{n}" for port in ("COM", "LPT") for n in range(10))}
