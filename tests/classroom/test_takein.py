"""Hand-ins come as a folder or a zip; each finds its student, and each bad one is one line."""

import json
import stat
import zipfile
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from pharmcalc.classroom.cells import cells_by_id
from pharmcalc.classroom.handed_in import handin, parcels
from pharmcalc.classroom.handed_in.inbox import TakeIn, last_words
from pharmcalc.classroom.handed_in.parcels import open_parcel
from pharmcalc.classroom.handed_in.takein import take_in
from pharmcalc.classroom.issuing.deadlines import set_deadline
from pharmcalc.errors import CourseError
from tests.classroom.building import answered
from tests.classroom.conftest import NAME, Classroom


def made(classroom: Classroom, number: str, **options: Any) -> bytes:
    """Return the bytes of a hand-in."""
    return json.dumps(answered(classroom.release, number, **options)).encode()


def zipped(path: Path, files: dict[str, bytes]) -> Path:
    """Write a zip."""
    with zipfile.ZipFile(path, "w") as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return path


def foldered(path: Path, files: dict[str, bytes]) -> Path:
    """Write a folder."""
    for name, data in files.items():
        (path / name).parent.mkdir(parents=True, exist_ok=True)
        (path / name).write_bytes(data)
    return path


def take(classroom: Classroom, source: Path) -> TakeIn:
    """Take a parcel in."""
    return take_in(classroom.course, NAME, source, classroom.roster)


def reasons(result: TakeIn) -> dict[str, str]:
    """Return why files were set aside."""
    return {entry.file: entry.reason for entry in result.refused}


@pytest.mark.parametrize("parcel", [zipped, foldered])
def test_a_notebook_finds_its_student(classroom: Classroom, tmp_path: Path, parcel: Any) -> None:
    """By the file's name, by its folder's name, or by the number typed inside, as platforms name things."""
    files = {
        "A-01.ipynb": made(classroom, "A-01"),
        "Surname Given_4711_assignsubmission_file/week-1 a-02 final.ipynb": made(classroom, "A-02"),
        "A-03/my work.ipynb": made(classroom, "A-03"),
        "surnamegiven_99_77_week-1.ipynb": made(classroom, "A-04"),
        "A-05.ipynb.txt": made(classroom, "A-05"),
        "readme.html": b"<p>from the platform</p>",
        "__MACOSX/._A-01.ipynb": b"rubbish",
    }
    result = take(classroom, parcel(tmp_path / "parcel.zip", files))
    assert sorted(entry.number for entry in result.taken) == ["A-01", "A-02", "A-03", "A-04", "A-05"]
    assert reasons(result) == {}
    assert classroom.mark().count("marked") == 5
    assert sum(row.all_cleared for row in classroom.picture().rows) == 5


def test_the_hand_in_is_kept_as_it_came(classroom: Classroom, tmp_path: Path) -> None:
    """The bytes in received/ are the bytes that were handed in, good or bad."""
    files = {"A-01.ipynb": made(classroom, "A-01"), "A-02.ipynb": b"{ broken"}
    take(classroom, zipped(tmp_path / "a.zip", files))
    kept = {path.name: path.read_bytes() for path in classroom.course.received(NAME).glob("*/*.ipynb")}
    assert kept == files


def test_bad_files_are_one_line_each_and_the_rest_is_taken_in(classroom: Classroom, tmp_path: Path) -> None:
    """Cut off, empty, another assignment's, an unknown student's: each is told with the cure."""
    other = answered(classroom.release, "A-05")
    cells_by_id(other)["setup"]["source"] = 'notebook.begin("week-9", version=1)'
    stranger = made(classroom, "A-06", typed="Z-99")
    files = {
        "A-01.ipynb": made(classroom, "A-01"),
        "A-02.ipynb": b"",
        "A-03.ipynb": made(classroom, "A-03")[:-500],
        "A-04.ipynb": b'{"a": 1}',
        "A-05.ipynb": json.dumps(other).encode(),
        "somebody.ipynb": stranger,
        "nobody.ipynb": made(classroom, "A-06", typed=""),
    }
    result = take(classroom, zipped(tmp_path / "a.zip", files))
    assert [entry.number for entry in result.taken] == ["A-01"]
    told = reasons(result)
    assert "empty" in told["A-02.ipynb"]
    assert "breaks off" in told["A-03.ipynb"]
    assert "not a notebook" in told["A-04.ipynb"]
    assert "week-9" in told["A-05.ipynb"]
    assert "Z-99, which is not on the class list" in told["somebody.ipynb"]
    assert "no student number is typed" in told["nobody.ipynb"]
    words = last_words(classroom.course, NAME)
    assert {number for number, entries in words.items() if not any(entry.taken for entry in entries)} == {
        "A-02",
        "A-03",
        "A-04",
        "A-05",
    }


def test_set_aside_files_stand_in_the_class_picture(classroom: Classroom, tmp_path: Path) -> None:
    """A student whose file could not be read is not absent; the reason stands beside the name."""
    files = {"A-02.ipynb": b"", "somebody.ipynb": made(classroom, "A-06", typed="Z-99")}
    take(classroom, zipped(tmp_path / "a.zip", files))
    classroom.mark()
    picture = classroom.picture()
    assert [row.student.number for row in picture.to_look_at()] == ["A-02"]
    assert [entry.file for entry in picture.set_aside] == ["somebody.ipynb"]


def test_a_copied_file_does_not_displace_its_owners(classroom: Classroom, tmp_path: Path) -> None:
    """When another file has A-01's number typed in it, the file named for A-01 counts and the other is put aside."""
    files = {"A-01.ipynb": made(classroom, "A-01"), "unnamed.ipynb": made(classroom, "A-01")}
    result = take(classroom, zipped(tmp_path / "a.zip", files))
    assert [entry.file for entry in result.taken] == ["A-01.ipynb"]
    assert "find out whose" in reasons(result)["unnamed.ipynb"]


def test_taking_in_twice_changes_nothing(classroom: Classroom, tmp_path: Path) -> None:
    """The same zip a second time is recognised, so nothing is marked twice."""
    parcel = zipped(tmp_path / "a.zip", {"A-01.ipynb": made(classroom, "A-01")})
    assert len(take(classroom, parcel).taken) == 1
    classroom.mark()
    again = take(classroom, parcel)
    assert (len(again.taken), len(again.unchanged)) == (0, 1)
    assert classroom.mark().count("marked") == 0


def test_a_new_hand_in_takes_the_place_of_the_old(classroom: Classroom, tmp_path: Path) -> None:
    """A later hand-in counts, and both are kept."""
    take(classroom, zipped(tmp_path / "a.zip", {"A-01.ipynb": made(classroom, "A-01", answers={"q1": ""})}))
    classroom.mark()
    take(classroom, zipped(tmp_path / "b.zip", {"A-01.ipynb": made(classroom, "A-01")}))
    assert classroom.mark().count("marked") == 1
    assert classroom.picture().rows[0].all_cleared
    assert len(list(classroom.course.received(NAME).glob("*/A-01.ipynb"))) == 2


def test_a_late_hand_in_leaves_what_a_person_repaired(classroom: Classroom, tmp_path: Path) -> None:
    """Only a hand-in that counts takes the place of what was put right by hand."""
    take(classroom, zipped(tmp_path / "a.zip", {"A-01.ipynb": made(classroom, "A-01", answers={"q1": ""})}))
    repaired = made(classroom, "A-01")
    classroom.course.submitted(NAME, "A-01").write_bytes(repaired)
    set_deadline(classroom.course, NAME, datetime.now(UTC) - timedelta(hours=1), classroom.roster)
    late = made(classroom, "A-01", answers={"q2": ""})
    earlier = zipfile.ZipInfo("A-01.ipynb", date_time=(2026, 1, 1, 0, 0, 0))
    with zipfile.ZipFile(tmp_path / "c.zip", "w") as archive:
        archive.writestr(earlier, made(classroom, "A-01", answers={"q1": "", "q2": ""}))
    take(classroom, tmp_path / "c.zip")
    assert classroom.course.submitted(NAME, "A-01").read_bytes() != repaired, "the one in time counts"
    classroom.course.submitted(NAME, "A-01").write_bytes(repaired)
    result = take(classroom, zipped(tmp_path / "b.zip", {"A-01.ipynb": late}))
    assert "after the deadline" in reasons(result)["A-01.ipynb"]
    assert classroom.course.submitted(NAME, "A-01").read_bytes() == repaired


def test_paths_that_lead_outside_are_refused(classroom: Classroom, tmp_path: Path) -> None:
    """A zip cannot write anywhere: not above the folder, not to a drive, not to the root."""
    data = made(classroom, "A-01")
    names = ["../../A-01.ipynb", "/etc/A-01.ipynb", "C:/A-01.ipynb", "x/../../A-01.ipynb", "..\\A-01.ipynb"]
    outside = {path for path in tmp_path.rglob("*") if classroom.course.root not in path.parents}
    result = take(classroom, zipped(tmp_path / "a.zip", dict.fromkeys(names, data)))
    assert len(result.taken) == 0
    assert set(reasons(result).values()) == {"its path leads outside the zip"}
    now = {path for path in tmp_path.rglob("*") if classroom.course.root not in path.parents}
    assert now - outside == {tmp_path / "a.zip"}


def test_links_are_refused(classroom: Classroom, tmp_path: Path) -> None:
    """A link in a folder or a zip is not followed, so the gradebook cannot be handed in."""
    folder = foldered(tmp_path / "in", {"A-02.ipynb": made(classroom, "A-02")})
    (folder / "A-01.ipynb").symlink_to(classroom.course.gradebook)
    (folder / "more").symlink_to(classroom.course.root)
    assert "link" in reasons(take(classroom, folder))["A-01.ipynb"]
    entry = zipfile.ZipInfo("A-03.ipynb")
    entry.external_attr = (stat.S_IFLNK | 0o777) << 16
    with zipfile.ZipFile(tmp_path / "a.zip", "w") as archive:
        archive.writestr(entry, str(classroom.course.gradebook))
    result = take(classroom, tmp_path / "a.zip")
    assert "link" in reasons(result)["A-03.ipynb"]
    assert result.taken == []


def test_a_zip_bomb_is_read_no_further_than_the_limit(
    classroom: Classroom, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file that unpacks beyond the limit is refused by what comes out, not by what the zip says."""
    monkeypatch.setattr(parcels, "LARGEST_FILE", 100_000)
    with zipfile.ZipFile(tmp_path / "a.zip", "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("A-01.ipynb", b" " * 5_000_000)
        archive.writestr("A-02.ipynb", made(classroom, "A-02"))
        archive.writestr("inner.zip", b"PK\x05\x06" + bytes(18))
    result = take(classroom, tmp_path / "a.zip")
    assert [entry.number for entry in result.taken] == ["A-02"]
    assert "larger than" in reasons(result)["A-01.ipynb"]
    assert "zip inside the zip" in reasons(result)["inner.zip"]


def test_a_damaged_zip_is_told(classroom: Classroom, tmp_path: Path) -> None:
    """A zip with a damaged entry gives up that file and no other."""
    path = zipped(tmp_path / "a.zip", {"A-01.ipynb": made(classroom, "A-01"), "A-02.ipynb": made(classroom, "A-02")})
    data = bytearray(path.read_bytes())
    data[2000:2010] = b"\xff" * 10
    path.write_bytes(bytes(data))
    result = take(classroom, path)
    assert [entry.number for entry in result.taken] == ["A-02"]
    assert "damaged" in reasons(result)["A-01.ipynb"]


@pytest.mark.parametrize("name", ["nothing-here.zip", "notes.txt"])
def test_a_parcel_of_the_wrong_kind_is_refused(classroom: Classroom, tmp_path: Path, name: str) -> None:
    """Something that is neither folder nor zip nor notebook is answered with what to give."""
    if name == "notes.txt":
        (tmp_path / name).write_text("hello")
    with pytest.raises(CourseError, match=r"[Gg]ive"):
        take(classroom, tmp_path / name)


def test_an_old_notebook_format_is_brought_up_to_date(classroom: Classroom, tmp_path: Path) -> None:
    """A notebook saved in the format of ten years ago is read, and its answers count."""
    new = answered(classroom.release, "A-01")
    cells = [
        {"cell_type": c["cell_type"], "metadata": c["metadata"]}
        | (
            {"input": c["source"], "language": "python", "outputs": [], "collapsed": False}
            if c["cell_type"] == "code"
            else {"source": c["source"]}
        )
        for c in new["cells"]
    ]
    old = {
        "nbformat": 3,
        "nbformat_minor": 0,
        "metadata": {"name": ""},
        "worksheets": [{"cells": cells, "metadata": {}}],
    }
    take(classroom, zipped(tmp_path / "a.zip", {"A-01.ipynb": json.dumps(old).encode()}))
    classroom.mark()
    assert classroom.picture().rows[0].all_cleared


def test_old_nbgrader_settings_do_not_stop_the_class(classroom: Classroom) -> None:
    """Settings in nbgrader's first format, which stop its own command, are replaced by the issued ones."""

    def age(nb: dict[str, Any]) -> None:
        for cell in nb["cells"]:
            cell["metadata"]["nbgrader"]["schema_version"] = 1

    classroom.hand_in("A-01", change=age)
    classroom.hand_in("A-02")
    assert classroom.mark().count("marked") == 2


def test_an_utf_16_notebook_is_read(classroom: Classroom, tmp_path: Path) -> None:
    """A notebook that an editor saved in UTF-16 is still a notebook."""
    data = json.dumps(answered(classroom.release, "A-01")).encode("utf-16")
    assert len(take(classroom, zipped(tmp_path / "a.zip", {"A-01.ipynb": data})).taken) == 1


def test_a_hand_in_without_its_locked_cells_is_still_this_assignments(classroom: Classroom, tmp_path: Path) -> None:
    """Whoever deleted everything but the answers has handed in the right notebook."""

    def strip(nb: dict[str, Any]) -> None:
        nb["cells"] = [c for c in nb["cells"] if c["id"].startswith("answer-")]

    take(classroom, zipped(tmp_path / "a.zip", {"A-01.ipynb": made(classroom, "A-01", change=strip)}))
    classroom.mark()
    assert classroom.picture().rows[0].all_cleared


def test_two_numbers_in_a_name_are_not_guessed(classroom: Classroom, tmp_path: Path) -> None:
    """A file named for two students goes by the number typed inside."""
    name = "A-01 and A-02.ipynb"
    result = take(classroom, zipped(tmp_path / "a.zip", {name: made(classroom, "A-02")}))
    assert [entry.number for entry in result.taken] == ["A-02"]


def test_a_file_is_read_no_further_than_the_limit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A large file in a folder is refused without being read whole."""
    monkeypatch.setattr(parcels, "LARGEST_FILE", 1000)
    (tmp_path / "big.ipynb").write_bytes(b"x" * 5000)
    (item,) = open_parcel(tmp_path)
    assert (item.data, "larger than" in item.refused) == (b"", True)


def test_too_many_cells_are_for_a_person() -> None:
    """A notebook of ten thousand cells is nobody's honest work, and is told, not marked."""
    cells = [{"cell_type": "code", "source": "1", "metadata": {}}] * (handin.MOST_CELLS + 1)
    with pytest.raises(CourseError, match="2001 cells"):
        handin.read_handin(json.dumps({"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": cells}).encode())
