"""A hand-in is laid out again after the release before anything else happens to it."""

import copy
from typing import Any

import pytest

from pharmcalc.classroom.cells import cells_by_id, remarks_of, source_of
from pharmcalc.classroom.marking.tidy import LONGEST_ANSWER, MOST_SCRATCH, tidy
from tests.classroom.building import cell

ANSWER = "%%answer q1\nmultiple factor = 30\naliquot = 120 mg"
BLANK = "%%answer q1\nmultiple factor = \naliquot = "


def release() -> dict[str, Any]:
    """Return a small release with one task."""
    cells = [
        cell("markdown", "intro", "# Title"),
        cell("code", "setup", 'from pharmcalc import notebook\nnotebook.begin("x", version=1)'),
        cell("code", "answer-q1", BLANK, locked=False, solution=True),
        cell("code", "mark-q1", "0", grade=True, points=2),
        cell("markdown", "explain-1", "YOUR ANSWER HERE", locked=False, solution=True, grade=True, points=1),
    ]
    return {"cells": cells, "metadata": {"kernelspec": {"name": "python3"}}, "nbformat": 4, "nbformat_minor": 5}


@pytest.fixture
def nb() -> dict[str, Any]:
    """Return a hand-in with an answer."""
    made = copy.deepcopy(release())
    cells_by_id(made)["answer-q1"]["source"] = ANSWER
    return made


def names(nb: dict[str, Any]) -> list[str]:
    """Return the cells' ids in order."""
    return [cell["id"] for cell in nb["cells"]]


def answer(nb: dict[str, Any]) -> str:
    """Return what stands in the answer cell."""
    return source_of(cells_by_id(nb)["answer-q1"])


def scratch(text: str, kind: str = "code") -> dict[str, Any]:
    """Return a cell that a student added."""
    made: dict[str, Any] = {"cell_type": kind, "id": "own", "metadata": {}, "source": text}
    return made | ({"outputs": [], "execution_count": 7} if kind == "code" else {})


def test_an_honest_hand_in_stays_as_it_is(nb: dict[str, Any]) -> None:
    """Nothing is remarked and nothing is moved where there is nothing to put right."""
    done = tidy(nb, release())
    assert [(c["id"], source_of(c)) for c in done["cells"]] == [(c["id"], source_of(c)) for c in nb["cells"]]
    assert remarks_of(done) == {"notes": [], "needs_eyes": []}


def test_a_split_answer_cell_is_joined(nb: dict[str, Any]) -> None:
    """JupyterLab gives both halves of a split cell the same grade id; the answer is both halves."""
    cells = nb["cells"]
    cells[2]["source"] = "%%answer q1\nmultiple factor = 30"
    half = copy.deepcopy(cells[2])
    half["id"], half["source"] = "other", "aliquot = 120 mg"
    cells.insert(3, half)
    done = tidy(nb, release())
    assert answer(done) == ANSWER
    assert names(done) == names(release())
    assert "joined" in remarks_of(done)["notes"][0]


def test_a_copied_answer_cell_counts_once(nb: dict[str, Any]) -> None:
    """A cell that was copied and pasted does not answer twice, and its empty labels do not hide the filled-in ones."""
    for source in (ANSWER, BLANK):
        twin = copy.deepcopy(nb["cells"][2])
        twin["source"] = source
        nb["cells"].append(twin)
    assert answer(tidy(nb, release())) == ANSWER


def test_a_deleted_locked_cell_is_put_back(nb: dict[str, Any]) -> None:
    """Set-up and mark cells come back from the release, in their places, and the answer is still there."""
    nb["cells"] = [c for c in nb["cells"] if c["id"] not in ("setup", "mark-q1")]
    done = tidy(nb, release())
    assert names(done) == names(release())
    assert answer(done) == ANSWER
    assert len(remarks_of(done)["notes"]) == 2


def test_a_deleted_answer_cell_is_put_before_the_instructor(nb: dict[str, Any]) -> None:
    """Without its answer cell a task earns nothing, and somebody should know."""
    nb["cells"] = [c for c in nb["cells"] if c["id"] not in ("answer-q1", "mark-q1")]
    done = tidy(nb, release())
    assert answer(done) == BLANK
    assert "q1" in remarks_of(done)["needs_eyes"][0]


def test_an_edited_locked_cell_is_restored(nb: dict[str, Any]) -> None:
    """A mark cell's text is as issued again, whatever was written there; what was written stays to be seen."""
    cells_by_id(nb)["mark-q1"]["source"] = "2"
    cells_by_id(nb)["mark-q1"]["metadata"]["nbgrader"]["points"] = 200
    done = tidy(nb, release())
    mark = cells_by_id(done)["mark-q1"]
    assert source_of(mark) == "0"
    assert mark["metadata"]["nbgrader"]["points"] == 2
    assert [source_of(c) for c in done["cells"] if c["id"].startswith("scratch")] == ["2"]


def test_forged_outputs_are_dropped(nb: dict[str, Any]) -> None:
    """A mark that a student writes into the output of the mark cell is gone before marking begins."""
    cells_by_id(nb)["mark-q1"]["outputs"] = [
        {"output_type": "execute_result", "data": {"text/plain": "2"}, "metadata": {}, "execution_count": 1}
    ]
    assert cells_by_id(tidy(nb, release()))["mark-q1"]["outputs"] == []


def test_foreign_settings_are_dropped(nb: dict[str, Any]) -> None:
    """A cell that claims to be graded but was never issued is an ordinary scratch cell."""
    extra = cell("code", "bonus", "100", grade=True, points=100)
    nb["cells"].append(extra)
    done = tidy(nb, release())
    assert "bonus" not in cells_by_id(done)
    assert source_of(done["cells"][-1]) == "100"


def test_settings_that_another_program_dropped_are_restored(nb: dict[str, Any]) -> None:
    """Some notebook programs lose nbgrader's settings; the cells are known by their ids then."""
    for c in nb["cells"]:
        c["metadata"] = {}
    done = tidy(nb, release())
    assert answer(done) == ANSWER
    assert remarks_of(done)["needs_eyes"] == []


def test_an_answer_in_a_cell_of_its_own_is_found(nb: dict[str, Any]) -> None:
    """A student who writes %%answer q1 in a new cell and leaves the issued one empty has answered."""
    nb["cells"][2]["source"] = BLANK
    nb["cells"].append(scratch(ANSWER))
    done = tidy(nb, release())
    assert answer(done) == ANSWER
    assert names(done) == names(release())


def test_two_different_answers_are_put_before_the_instructor(nb: dict[str, Any]) -> None:
    """Where a second cell answers the same task otherwise, the issued cell counts and a person decides."""
    nb["cells"].append(scratch("%%answer q1\nmultiple factor = 31"))
    done = tidy(nb, release())
    assert answer(done) == ANSWER
    assert "second cell" in remarks_of(done)["needs_eyes"][0]


def test_an_answer_cell_turned_into_text_is_read_all_the_same(nb: dict[str, Any]) -> None:
    """One keystroke makes Markdown of a code cell; the answer in it still counts."""
    nb["cells"][2] = {**nb["cells"][2], "cell_type": "markdown"}
    done = tidy(nb, release())
    assert cells_by_id(done)["answer-q1"]["cell_type"] == "code"
    assert answer(done) == ANSWER


def test_moved_cells_come_back_to_their_places(nb: dict[str, Any]) -> None:
    """The order is the release's, and a scratch cell stays behind the cell that it followed."""
    nb["cells"].insert(3, scratch("6 / 0.05"))
    nb["cells"].insert(0, nb["cells"].pop(-1))
    done = tidy(nb, release())
    assert [n for n in names(done) if not n.startswith("scratch")] == names(release())
    assert names(done)[3].startswith("scratch-answer-q1")


def test_a_notebook_of_scratch_cells_stays_small(nb: dict[str, Any]) -> None:
    """Thousands of added cells are cut to what a person would look at, and the cut is told."""
    nb["cells"] += [scratch("x" * 100_000) for _ in range(300)]
    done = tidy(nb, release())
    assert len(done["cells"]) == len(release()["cells"]) + MOST_SCRATCH
    assert len(str(done)) < 1_000_000
    assert "300" in remarks_of(done)["notes"][0]


def test_a_novel_in_the_answer_cell_is_cut_and_told(nb: dict[str, Any]) -> None:
    """An answer of a million letters does not travel through the gradebook's folders."""
    nb["cells"][2]["source"] = ANSWER + "\n" + "blah " * 200_000
    done = tidy(nb, release())
    assert len(answer(done)) < 1.1 * LONGEST_ANSWER
    assert "longer than" in remarks_of(done)["needs_eyes"][0]


def test_signs_that_no_file_can_hold_are_replaced(nb: dict[str, Any]) -> None:
    """Half a character or a control sign in the JSON does not stop the marking."""
    nb["cells"][2]["source"] = ANSWER + "\nnote = \ud800\x00\x1b[31m"
    text = answer(tidy(nb, release()))
    assert text.encode("utf-8").startswith(ANSWER.encode())
    assert "\x00" not in text


def test_a_picture_is_put_before_the_instructor(nb: dict[str, Any]) -> None:
    """A photographed working cannot be shown safely, so a person looks at the hand-in itself."""
    cells_by_id(nb)["explain-1"] |= {"source": "![mine](attachment:a.png)", "attachments": {"a.png": {}}}
    done = tidy(nb, release())
    assert "picture" in remarks_of(done)["needs_eyes"][0]
    assert "attachments" not in cells_by_id(done)["explain-1"]
