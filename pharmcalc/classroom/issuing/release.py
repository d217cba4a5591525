"""What students get: answer cells with labels and no values, and the course's house rules filled in."""

from __future__ import annotations

import json
from functools import lru_cache
from pathlib import Path

from pharmcalc.classroom.cells import Json, lead
from pharmcalc.errors import CourseError
from pharmcalc.language import say
from pharmcalc.tasks.house import default_house_rules_text, read_house_rules
from pharmcalc.tasks.papers import Issue, read_issue

#: The course's own rules, in the course folder: the one file of rules that an instructor edits.
HOUSE_RULES = "house_rules.toml"

_KEPT = ("attempt",)


def emptied(source: str) -> str:
    """Return an ``%%answer`` or ``%%student`` cell with its labels, as they are said, and without its values.

    Comments go too: a remark beside a worked answer may tell it.

    >>> emptied("%%answer q1\\n# half of 240\\nleast weighable quantity = 120 mg\\nmultiple factor = 30")
    '%%answer q1\\nleast weighable quantity = \\nmultiple factor = '
    """
    magic, task = lead(source)
    lines = [f"%%{magic} {task}".rstrip()]
    for line in source.split("\n")[1:]:
        label, equals, value = line.partition("=")
        if not equals or label.lstrip().startswith("#"):
            continue
        kept = value.strip() if magic == "student" and label.strip() in _KEPT else ""
        lines.append(f"{say(label.strip())} = {kept}")
    return "\n".join(lines)


def in_words(source: str) -> str:
    """Return a Markdown cell as it is said in the language in use, paragraph by paragraph."""
    return "\n\n".join(say(paragraph) for paragraph in source.split("\n\n"))


def house_rules_text(course: Path) -> str:
    """Return the course's house rules: its own file, or those that come with pharmcalc where it has none."""
    file = course / HOUSE_RULES
    return file.read_text(encoding="utf-8-sig") if file.is_file() else default_house_rules_text()


def with_house_rules(text: str) -> str:
    """Return the ``%%house_rules`` cell of a release: the course's own rules, after they were read without error.

    Raises
    ------
    PharmcalcError
        The file cannot be read as house rules; the message names the line and the cure.
    """
    read_house_rules(text)
    return "%%house_rules\n" + text.replace("\r\n", "\n").strip("\n")


@lru_cache(maxsize=8)
def _issued(path: Path, _changed: int) -> tuple[Json, Issue]:
    release: Json = json.loads(path.read_text(encoding="utf-8"))
    return release, read_issue(release)


def issued_notebook(path: Path) -> tuple[Json, Issue]:
    """Return the released notebook at ``path`` and what it issues; read again only when the file changes."""
    if not path.is_file():
        raise CourseError(f"{path}: nothing was issued there. Issue the assignment first: pharmcalc issue {path.stem}")
    return _issued(path, path.stat().st_mtime_ns)
