"""What is proved of every public formula, in whatever room: its words, its sources, a value that was checked, mistakes.

That the printed equation gives the number of the body, and that no impossible amount passes, stands in
`test_formula.py`; what each source is, in `test_sources.py`.
"""

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from pharmcalc.formula import FORMULAS
from pharmcalc.sources import Source
from tests.rooms import load_the_mathematics, room_of

TESTS = Path(__file__).resolve().parent
load_the_mathematics()
EVERY = pytest.mark.parametrize("name", sorted(FORMULAS))

RANGE = re.compile(
    r"\babove (?:zero|100)|\bat (?:least|most)\b|\bwhole number|\bbelow 100|\b0 (?:mg|mL|%)|\bnot above\b"
    r"|\bthe (?:first|second|third) (?:the|more|not)\b|\bnot larger"
)
"""Words that say how large an amount may be."""

WITHOUT_MISTAKE = {
    "minimum_weight_before_2013": "it is history; mixing it with the rule in force is minimum-weight-three-s",
}
"""The formulas without a known mistake, each with its reason."""


def test_the_contents_of_the_library_are_all_its_formulas() -> None:
    """`pharmcalc.FORMULAS` is whole: walking through every module of the mathematics finds no other formula."""
    program = (
        "import pharmcalc\nlisted = set(pharmcalc.FORMULAS)\n"
        "from tests.rooms import load_the_mathematics\nload_the_mathematics()\n"
        "print(sorted(set(pharmcalc.FORMULAS) ^ listed), len(listed) > 100)"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=False, cwd=TESTS.parent
    )
    assert (done.stdout, done.stderr) == ("[] True\n", "")


# Words and sources ---------------------------------------------------------------------------------------------------


def said(name: str) -> str:
    """Return a formula's docstring on one line."""
    return " ".join((FORMULAS[name].__doc__ or "").split())


def said_of(name: str, argument: str) -> str:
    """Return what the docstring says of an argument, alone or with its neighbours (``highest, lowest: two ...``)."""
    about = re.sub(r".*?Formula: |Returns .*", "", said(name))
    (found,) = re.finditer(rf"(?<![\w×÷] )\b(?:[a-z_]+, )*{argument}(?:, [a-z_]+)*: ", about)
    return re.split(r"(?<=[.;]) (?=[a-z_]+(?:, [a-z_]+)*: )", about[found.end() :])[0]


@EVERY
def test_every_argument_says_how_large_it_may_be(name: str) -> None:
    """Above zero, at most 100 %, a whole number, the second the smaller: a reader need not try it out."""
    assert [argument for argument in FORMULAS[name].kinds if not RANGE.search(said_of(name, argument))] == []


@EVERY
def test_the_result_says_what_it_is(name: str) -> None:
    """After "Returns" stands what comes back: a mass, a percentage, mg/mL ..."""
    what = re.search(r" Returns (.*?)[.:,;] ", said(name))
    assert what
    kind = FORMULAS[name].kind
    told = {*kind.name.replace("(", "").replace(")", "").split(), *kind.example.split()} - {"a", "of", "or", "two"}
    assert any(word in what[1] for word in told | {"same kind", "same strength", "number", "percentage"}), (
        what[1],
        kind.name,
    )


def words_of(text: str) -> set[str]:
    """Return the words by which a citation is recognised: names, numbers and initials."""
    found = set(re.findall(r"[a-z0-9<>.&-]+", text.lower()))
    return {word for word in found if len(word) > 3 or word in ("usp", "unc", "gum", "iso")} - {
        "from", "with", "chapter", "pharmaceutical", "table", "that", "memory", "common", "limits", "section",
    }  # fmt: skip


def names_it(source: Source, line: str) -> bool:
    """Say whether a docstring's source line names a source; a definition has no author."""
    if source.seen == "practice":
        return bool(re.search(r"practice|definition|convention|geometry|rounding", line))
    return bool(words_of(source.citation) & words_of(line))


@EVERY
def test_the_source_line_names_every_source(name: str) -> None:
    """What a reader sees under "Source" and what the feedback cites are the same sources."""
    line = said(name).partition("Source: ")[2]
    assert [source.key for source in FORMULAS[name].sources if not names_it(source, line)] == []


# A value that was checked --------------------------------------------------------------------------------------------


@cache
def checks_of(room: str) -> tuple[set[str], ...]:
    """Return, for each test of a room that compares definite values, the names that it and its tables use.

    Refusals and laws do not count: a test with `pytest.raises` or `@given` is left out.
    """
    modules = [*(TESTS / room).glob("test_*.py"), *TESTS.glob(f"test_{room}.py"), TESTS / "test_definite_values.py"]
    return tuple(names for path in modules for names in _comparing(ast.parse(path.read_text(encoding="utf-8"))))


def _comparing(module: ast.Module) -> Iterator[set[str]]:
    tables = {
        target.id: node.value
        for node in module.body
        if isinstance(node, ast.Assign)
        for target in node.targets
        if isinstance(target, ast.Name)
    }
    for node in module.body:
        if not (isinstance(node, ast.FunctionDef) and node.name.startswith("test_")):
            continue
        names = _used(node)
        if "given" in names or "raises" in names or not any(isinstance(one, ast.Assert) for one in ast.walk(node)):
            continue
        yield names.union(*(_used(tables[name]) for name in names & tables.keys()))


def _used(tree: ast.AST) -> set[str]:
    """Return every name and every short text in a piece of a program."""
    found = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
    found |= {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    return found | {
        node.value for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }


@EVERY
def test_a_definite_value_of_every_formula_is_compared(name: str) -> None:
    """In the tests of its room, or in the table of definite values, a test compares what comes of definite amounts."""
    assert any(name in names for names in checks_of(room_of(FORMULAS[name].body.__module__)))


# Mistakes ------------------------------------------------------------------------------------------------------------


@EVERY
def test_every_formula_knows_a_mistake_or_says_why_it_has_none(name: str) -> None:
    """Where students get it wrong, the way is known; the few formulas without one stand in a list with the reason."""
    assert bool(FORMULAS[name].mistakes) is not (name in WITHOUT_MISTAKE)


def test_no_reason_is_kept_for_a_formula_that_is_gone() -> None:
    """The list of formulas without a mistake names formulas that there are."""
    assert set(FORMULAS) >= WITHOUT_MISTAKE.keys()
