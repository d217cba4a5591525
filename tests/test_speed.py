"""`make speed` prints one line a figure."""

import pytest

from tools import speed
from tools.speed.__main__ import main


@pytest.fixture(autouse=True)
def two_figures(monkeypatch: pytest.MonkeyPatch) -> None:
    """Put two made-up figures in place of the real ones, which take their time."""
    monkeypatch.setattr(speed, "FIGURES", {})
    monkeypatch.setattr("tools.speed.__main__.iter_modules", lambda path: [])

    @speed.figure("x")
    def twice() -> float:
        return 2.0

    @speed.figure("s")
    def third() -> float:
        return 1 / 3


def test_a_line_is_name_value_unit(capsys: pytest.CaptureFixture[str]) -> None:
    """A program can read the figures: three words a line, and nothing else."""
    assert main([]) == 0
    assert capsys.readouterr().out == "twice 2 x\nthird 0.3333 s\n"


def test_one_figure_can_be_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    """Whoever works on one figure measures that one."""
    assert main(["third"]) == 0
    assert capsys.readouterr().out == "third 0.3333 s\n"


def test_an_unknown_figure_is_an_error(capsys: pytest.CaptureFixture[str]) -> None:
    """A misspelt name is answered with the names that there are."""
    assert main(["fourth"]) == 2
    assert capsys.readouterr().err == "There is no figure fourth. There are: twice, third.\n"


def test_two_figures_cannot_share_a_name() -> None:
    """A second figure under a name would hide the first."""
    with pytest.raises(ValueError, match="two figures called twice"):

        @speed.figure("x")
        def twice() -> float:
            return 3.0
