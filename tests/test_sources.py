"""Sources: every rule and number says where it comes from and how well that is known."""

from pathlib import Path

import pytest

from pharmcalc.formula import FORMULAS
from pharmcalc.sources import SOURCES, source

PACKAGE = Path(__file__).resolve().parent.parent / "pharmcalc"


@pytest.mark.parametrize("key", sorted(SOURCES))
def test_every_source_is_used_somewhere(key: str) -> None:
    """A source that nothing rests on would be dead weight."""
    assert SOURCES[key].key == key
    texts = [path.read_text(encoding="utf-8") for path in PACKAGE.rglob("*.py") if path.name != "sources.py"]
    assert any(key in text for text in texts)


@pytest.mark.parametrize(
    ("key", "note"),
    [
        ("unc-weighing", ""),
        ("usp-41", "met second-hand; editions differ"),
        ("usp-41-floor", "from memory; check the original"),
        ("classroom", "common practice, no single source"),
    ],
)
def test_a_citation_says_how_the_source_was_met(key: str, note: str) -> None:
    """What was only remembered, or met in a copy, says so in brackets; what was read says nothing."""
    cited = str(source(key))
    assert cited.startswith(SOURCES[key].citation)
    assert (note in cited) if note else cited == SOURCES[key].citation


def test_an_unknown_source_is_an_error_of_the_programmer() -> None:
    """A misspelt key fails when the library is loaded, never silently."""
    with pytest.raises(KeyError):
        source("folklore")


@pytest.mark.parametrize("name", sorted(FORMULAS))
def test_every_formula_rests_on_a_source(name: str) -> None:
    """Each equation names at least one source that can be cited."""
    assert FORMULAS[name].sources
    assert all(SOURCES[one.key] is one for one in FORMULAS[name].sources)
