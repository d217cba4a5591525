"""Keep the catalogues of messages: collect what students read, bring each language in line, compile it.

``make messages`` writes ``pharmcalc/languages/pharmcalc.pot`` (every message, in English), updates each language's
``.po`` (translations are kept; what is new is empty; what is gone is dropped) and compiles it to ``.mo``.
"""

import ast
import json
import sys
from collections.abc import Callable, Collection, Iterator
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import IO, Any

from babel.messages import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

import pharmcalc
from pharmcalc import kinds, units
from pharmcalc.bench.actions import ACTIONS
from pharmcalc.bench.inspection import STEPS, Step
from pharmcalc.formula import Formula
from pharmcalc.language import CATALOGUES, ENGLISH, LANGUAGES, as_written
from pharmcalc.sheets.record import AFTER, BEFORE, GROUPS, Group, Line
from pharmcalc.tasks.asked import Asked, Question
from pharmcalc.tasks.family import FAMILIES, Family
from pharmcalc.volumes.vessels import STANDARDS

SOLUTIONS = Path(__file__).parent.parent / "solutions"
PACKAGE = Path(pharmcalc.__file__).parent
TEMPLATE = CATALOGUES / "pharmcalc.pot"
_NO_DATE = datetime(2000, 1, 1, tzinfo=UTC)
KEYWORDS = {"say": None, "later": None, "Dial": None, "Choice": None}

Found = tuple[int, str, str, list[str]]


def in_python(file: IO[bytes], keywords: Collection[str], tags: object, options: object) -> Iterator[Found]:
    """Find the messages in a Python file, also inside f-strings and behind ``if``, which Babel's own way misses."""
    for node in ast.walk(ast.parse(file.read())):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in keywords and node.args:
            for message in _texts(node.args[0]):
                yield node.lineno, node.func.id, message, []


def _texts(node: ast.expr) -> Iterator[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.IfExp):
        yield from (*_texts(node.body), *_texts(node.orelse))
    elif isinstance(node, ast.BoolOp):
        for value in node.values:
            yield from _texts(value)


METHODS: list[tuple[str, Any]] = [("**.py", in_python), ("**.j2", "jinja2")]


def po_file(language: str) -> Path:
    """Return where the translations of a language stand, for people."""
    return CATALOGUES / language / "LC_MESSAGES" / "pharmcalc.po"


def mo_file(language: str) -> Path:
    """Return where the same stands for the program."""
    return po_file(language).with_suffix(".mo")


def collected() -> Catalog:
    """Return every message: those marked in the code and the templates, and those of formulas, tasks and the bench."""
    where: dict[str, set[str]] = {}
    for name, _, message, _, _ in extract_from_dir(PACKAGE, METHODS, keywords=KEYWORDS):
        where.setdefault(str(message), set()).add(f"pharmcalc/{Path(name).as_posix()}")
    for message, place in declared():
        where.setdefault(message, set()).add(place)
    catalogue = Catalog(project="pharmcalc", version="", charset="utf-8")
    for message in sorted(where, key=lambda one: (min(where[one]), one)):
        if message:
            catalogue.add(message, locations=[(place, 1) for place in sorted(where[message])])
    return catalogue


def declared() -> Iterator[tuple[str, str]]:
    """Return the messages that no call marks, each with its file: they are fields of what the library declares."""
    for room, messages in (
        *((_file(formula.body), _of_formula(formula)) for formula in pharmcalc.FORMULAS.values()),
        *((_file(mistake.body), [mistake.named, mistake.taught]) for mistake in pharmcalc.MISTAKES.values()),
        *(("pharmcalc/kinds.py", _fields(kind, "name", "example")) for kind in kinds.KINDS),
        *(("pharmcalc/units.py", _in_words(label)) for label in units.LABELS.values()),
        *(("pharmcalc/volumes/vessels.py", [entry.kind]) for entry in STANDARDS),
        ("pharmcalc/bench/actions.py", list(ACTIONS)),
        *(("pharmcalc/bench/inspection.py", _of_step(step)) for step in STEPS),
        ("pharmcalc/sheets/record.py", [*BEFORE, *(text for line in AFTER for text in _of_line(line))]),
        *(("pharmcalc/sheets/record.py", _of_group(group)) for group in GROUPS),
        *((_file(family.draw), _of_family(family)) for family in FAMILIES.values()),
        *((f"solutions/{file.stem}", _of_notebook(file)) for file in sorted(SOLUTIONS.glob("*/*.ipynb"))),
    ):
        yield from ((message, room) for message in messages)


def _fields(instance: object, *names: str) -> list[str]:
    return [as_written(instance, name) for name in names]


def _in_words(label: str) -> list[str]:
    """Return a unit that is written as a word; signs such as mg and mL are the same in every language."""
    return [label] if label[:1].isalpha() and "/" not in label and len(label) >= len("grain") else []


def _of_formula(formula: Formula) -> list[str]:
    return [formula.labelled, *(name.replace("_", " ") for name in (formula.name, *formula.kinds))]


def _of_step(step: Step) -> list[str]:
    faults = [message for fault in step.faults for message in _fields(fault, "said", "lesson")]
    return [*_fields(step, "label", "well_done"), *faults]


def _of_group(group: Group) -> list[str]:
    return [as_written(group, "title"), *(text for line in group.lines for text in _of_line(line))]


def _of_line(line: Line) -> list[str]:
    return [as_written(line, "label"), *line.boxes, *line.blanks]


def _of_family(family: Family) -> list[str]:
    rules = [as_written(rule, "says") for rule in family.judged_by]
    asked = [message for one in family.asked for message in _of_question(one)]
    return [as_written(family, "title"), family.text, family.subject, *rules, *asked]


def _of_question(asked: Question) -> list[str]:
    if isinstance(asked, Asked):
        return [as_written(asked, "label"), asked.called.replace("_", " ")]
    return [as_written(asked, "label"), *(text for one in asked.options for text in _fields(one, "said", "lesson"))]


def _of_notebook(file: Path) -> list[str]:
    """Return the paragraphs that students read in an assignment; model answers stay with the instructor."""
    cells = json.loads(file.read_text(encoding="utf-8"))["cells"]
    sources = ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown"]
    return [part for text in sources if "### BEGIN SOLUTION" not in text for part in text.split("\n\n")]


def _file(body: Callable[..., object]) -> str:
    return body.__module__.replace(".", "/") + ".py"


def template_bytes(catalogue: Catalog) -> bytes:
    """Return a catalogue as the text of its file, without dates, so that the same messages give the same bytes."""
    out = BytesIO()
    write_po(out, catalogue, omit_header=True, include_lineno=False, width=100)
    return out.getvalue()


def translated(language: str) -> Catalog:
    """Return the catalogue of a language as it stands in its file."""
    with po_file(language).open("rb") as file:
        return read_po(file, locale=language)


def compiled(catalogue: Catalog) -> bytes:
    """Return a catalogue as the bytes that gettext reads: the same messages give the same bytes, on any day."""
    out = BytesIO()
    catalogue.creation_date = catalogue.revision_date = _NO_DATE
    write_mo(out, catalogue)
    return out.getvalue()


def missing(catalogue: Catalog) -> list[str]:
    """Return the messages that have no translation, or one that was only guessed."""
    return [str(one.id) for one in catalogue if one.id and (not one.string or one.fuzzy)]


def main() -> int:
    """Collect, bring in line and compile; say what is still to be translated."""
    template = collected()
    TEMPLATE.parent.mkdir(exist_ok=True)
    TEMPLATE.write_bytes(template_bytes(template))
    print(f"{len(template)} messages")
    for language, name in LANGUAGES.items():
        if language == ENGLISH:
            continue
        po = po_file(language)
        po.parent.mkdir(parents=True, exist_ok=True)
        catalogue = translated(language) if po.is_file() else Catalog(locale=language)
        catalogue.update(template, no_fuzzy_matching=True)
        catalogue.obsolete.clear()
        po.write_bytes(template_bytes(catalogue))
        mo_file(language).write_bytes(compiled(translated(language)))
        print(f"{name} ({language}): {len(missing(catalogue))} to be translated")
    return 0


if __name__ == "__main__":
    sys.exit(main())
