"""Notebooks in the repository hold what a reader needs and nothing that a run left behind."""

import json
from pathlib import Path

import nbformat
import pytest

from tools.notebooks import KERNEL, PROJECT, cleaned, notebooks


@pytest.mark.parametrize("path", notebooks(), ids=lambda path: str(path.relative_to(PROJECT)))
def test_every_notebook_is_clean(path: Path) -> None:
    """No outputs, no counts, no leavings of one person's program; after an edit run `make format`."""
    text = path.read_text(encoding="utf-8")
    assert cleaned(text) == text, "run `make format`"


def used() -> str:
    """Return a notebook as a person leaves it: run, with a cell moved and a toolbar's marks on it."""
    words = nbformat.v4.new_markdown_cell("# Lesson", id="title", metadata={"slideshow": {"slide_type": "-"}})
    code = nbformat.v4.new_code_cell("6 / 0.05", id="sum", metadata={"tags": ["check"], "scrolled": True})
    code.execution_count = 7
    code.outputs = [nbformat.v4.new_output("stream", name="stdout", text="120.0")]
    code.metadata["nbgrader"] = {"grade_id": "sum", "grade": True}
    code.metadata["jupyter"] = {"source_hidden": True}
    metadata = {
        "kernelspec": KERNEL | {"display_name": "mine"},
        "language_info": {"name": "python", "version": "3.13.1"},
    }
    return nbformat.writes(nbformat.v4.new_notebook(cells=[words, code], metadata=metadata))


def test_cleaning_takes_out_what_a_run_leaves() -> None:
    """Outputs, counts, a Python's version and a person's kernel are one machine's; they go."""
    clean = json.loads(cleaned(used()))
    title, code = clean["cells"]
    assert clean["metadata"] == {"kernelspec": KERNEL}
    assert title["metadata"] == {}
    assert code["outputs"] == []
    assert code["execution_count"] is None
    assert "scrolled" not in code["metadata"]


def test_cleaning_keeps_what_the_course_needs() -> None:
    """Text, cell ids, tags, folding and nbgrader's marks stay."""
    title, code = json.loads(cleaned(used()))["cells"]
    assert [title["id"], code["id"]] == ["title", "sum"]
    assert "".join(code["source"]) == "6 / 0.05"
    assert code["metadata"] == {
        "jupyter": {"source_hidden": True},
        "nbgrader": {"grade": True, "grade_id": "sum"},
        "tags": ["check"],
    }


def test_cleaning_twice_changes_nothing() -> None:
    """A clean notebook is left as it is."""
    once = cleaned(used())
    assert cleaned(once) == once


@pytest.mark.parametrize("other", ['"id": "title"', '"id_lost": "x"'])
def test_every_cell_has_an_id_of_its_own(other: str) -> None:
    """Answers are found by their cell's id, so an id that is lost or stands twice is an error."""
    with pytest.raises(ValueError, match=r"title|none"):
        cleaned(used().replace('"id": "sum"', other))
