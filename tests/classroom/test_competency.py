"""The list of what was observed: only added to, safe in a crash, and read as what an assessor saw."""

import csv
import io
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.classroom.competency import LEVELS, LIST, WITHDRAWN, Competency, Entry, observe, standing
from pharmcalc.classroom.competency import observations as the_list
from pharmcalc.classroom.competency.entries import MARKED, OBSERVED, SIMULATED, competency_called, level_called
from pharmcalc.classroom.competency.observations import LONGEST, read_observations
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.roster import Roster, Student
from pharmcalc.errors import CourseError

ROSTER = Roster(tuple(Student(f"A-{n:02}", f"Surname{n}", f"Given{n}") for n in range(1, 5)))
DAY = "2026-01-20"


@pytest.fixture
def course(tmp_path: Path) -> Course:
    """A course folder in which nothing was observed yet."""
    return Course(tmp_path)


def see(course: Course, numbers: str = "A-01", what: str = "direct", level: str = "ind", **options: Any) -> list[Entry]:
    """Write an observation down and return what was added."""
    options = {"by": "R. Okafor", "on": DAY, **options}
    return list(observe(course, ROSTER, numbers.split(","), what, level, **options).added)


def kept(course: Course) -> list[Entry]:
    """Return what stands in the list."""
    return read_observations(course)[0]


def holds(course: Course, number: str = "A-01", what: Competency = Competency.DIRECT) -> str:
    """Return the level that holds now, or nothing."""
    found = standing(kept(course)).get((number, what))
    return found.level if found else ""


# Short forms ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("direct", Competency.DIRECT),
        ("Set-Up", Competency.SET_UP),
        ("setup", Competency.SET_UP),
        ("tare", Competency.SET_UP),
        ("calc", Competency.CALCULATION),
        ("rec", Competency.RECORD),
        ("given", Competency.GIVEN),
        ("check received", Competency.RECEIVED),
        ("solid-aliquot", Competency.SOLID),
    ],
)
def test_the_beginning_of_a_name_is_enough(typed: str, meant: Competency) -> None:
    """Who types in a lab types little; the answer says the whole name."""
    assert competency_called(typed) is meant


@pytest.mark.parametrize("competency", Competency)
def test_every_name_means_itself(competency: Competency) -> None:
    """No competency hides behind another one's name, whatever signs join its words."""
    assert competency_called(competency.value) is competency
    assert competency_called(competency.value.replace(" ", "-").upper()) is competency


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("second", "second check given or second check received"),
        ("aliquot", "solid aliquot or liquid aliquot"),
        ("weight", "no competency. There are: calculation cleared, set-up and tare, direct weighing"),
        ("-", "No competency is written"),
    ],
)
def test_a_name_that_may_be_two_is_not_guessed(typed: str, said: str) -> None:
    """What may be meant is named."""
    with pytest.raises(CourseError, match=said):
        competency_called(typed)


def test_levels_are_called_by_their_beginnings() -> None:
    """Not yet, prompted, independent; and what takes an entry back."""
    assert [level_called(typed) for typed in ("n", "not-yet", "P", "ind", "with")] == [
        "not yet", "not yet", "prompted", "independent", WITHDRAWN,
    ]  # fmt: skip
    with pytest.raises(CourseError, match=r"is no level\. There are: not yet, prompted, independent"):
        level_called("good")


# What holds ----------------------------------------------------------------------------------------------------------


def test_an_observation_holds_until_a_newer_one(course: Course) -> None:
    """The day of the observing decides, not that of the writing; attempts are counted by themselves."""
    assert holds(course) == ""
    see(course, level="prompted")
    see(course, level="independent", on="2026-02-01")
    see(course, level="not yet", on="2026-01-25")
    assert holds(course) == "independent"
    assert [one.attempt for one in kept(course)] == [1, 2, 3]


def test_several_students_are_entered_at_once(course: Course) -> None:
    """Each has an entry; a number may be typed small, twice, or with blanks."""
    added = see(course, "A-01, a-03,A-01", "set-up")
    assert [(one.entry, one.number, one.competency.value) for one in added] == [
        (1, "A-01", "set-up and tare"),
        (2, "A-03", "set-up and tare"),
    ]


def test_a_correction_holds_and_both_stay(course: Course) -> None:
    """It keeps the attempt of the entry that it corrects, and says why."""
    see(course, level="ind")
    see(course, level="prompted", instead_of=1, because="the jar was handed over")
    first, second = kept(course)
    assert (first.level, second.level, second.attempt) == ("independent", "prompted", 1)
    assert (second.instead_of, second.because) == (1, "the jar was handed over")
    assert holds(course) == "prompted"
    see(course, level="not", instead_of=2, because="the balance was off level")
    assert holds(course) == "not yet"


def test_an_entry_of_the_wrong_student_is_moved(course: Course) -> None:
    """The most frequent slip is a wrong number: the correction may be another student's."""
    see(course, "A-01")
    see(course, "A-02", instead_of=1, because="wrong number")
    assert (holds(course, "A-01"), holds(course, "A-02")) == ("", "independent")


def test_an_older_observation_holds_again_when_the_newer_is_withdrawn(course: Course) -> None:
    """Withdrawn means that it should never have been written; the next attempt takes its number."""
    see(course, level="prompted")
    see(course, level="ind", on="2026-01-21")
    see(course, level="withdrawn", instead_of=2, because="that was another group")
    assert holds(course) == "prompted"
    assert see(course, level="ind", on="2026-01-22")[0].attempt == 2


def test_the_same_again_adds_nothing_and_says_so(course: Course) -> None:
    """Who presses twice has one entry; another attempt on that day says its number; corrected, it may come again."""
    see(course, note="one try")
    again = observe(course, ROSTER, ["A-01", "A-02"], "direct", "ind", by="R. Okafor", on=DAY, note="one  try")
    assert [one.number for one in again.added] == ["A-02"]
    assert again.says().endswith("stood already, nothing added: A-01")
    assert [one.attempt for one in see(course, note="one try", attempt=2)] == [2]
    assert see(course, level="p", note="one try", instead_of=1, because="with help")
    assert see(course, level="p", note="one try", instead_of=1, because="with help") == []
    assert [one.entry for one in see(course, note="one try", attempt=1)] == [5]


# Refused -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ({"numbers": "A-01,B-77"}, "Not on the class list: B-77"),
        ({"numbers": " , "}, "No student is named"),
        ({"what": "stirring"}, "is no competency"),
        ({"level": "perfect"}, "is no level"),
        ({"on": "2999-01-01"}, "is in the future"),
        ({"on": "20/11/2026"}, "is no day. Write year-month-day"),
        ({"on": "2026-02-30"}, "is no day"),
        ({"by": " "}, "needs its assessor"),
        ({"by": "marking"}, "is what the marking knows"),
        ({"numbers": "A-02,A-01", "by": "a-01"}, "A-01 cannot be assessed by a-01: nobody assesses themselves"),
        ({"by": "given1 Surname1"}, "nobody assesses themselves"),
        ({"by": "Surname1, Given1"}, "nobody assesses themselves"),
        ({"attempt": 0}, "counted from 1"),
        ({"note": "x" * (LONGEST + 1)}, "The note is 301 letters long"),
        ({"because": "no entry named"}, "Name the entry that is corrected"),
        ({"level": "withdrawn"}, "Name that entry, and why"),
        ({"instead_of": 1}, "needs its reason"),
        ({"instead_of": 9, "because": "x"}, "no entry 9 to correct. The entries are numbered 1 to 2"),
        ({"instead_of": 0, "because": "x"}, "no entry 0 to correct"),
        ({"instead_of": 1, "because": "x"}, "corrected already, by entry 2"),
        ({"instead_of": 2, "because": "x", "numbers": "A-01,A-02"}, "one entry at a time"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(course: Course, arguments: dict[str, Any], said: str) -> None:
    """One sentence with the cure; of several students none is entered when one is wrong."""
    see(course, level="p")
    see(course, level="n", instead_of=1, because="misread")
    before = (course.root / LIST).read_bytes()
    with pytest.raises(CourseError, match=said):
        see(course, **arguments)
    assert (course.root / LIST).read_bytes() == before


def test_before_anything_is_observed_nothing_can_be_corrected(course: Course) -> None:
    """The message does not name a range of numbers that there is not."""
    with pytest.raises(CourseError, match=r"no entry 1 to correct\. There is no entry yet"):
        see(course, instead_of=1, because="x")


# The file ------------------------------------------------------------------------------------------------------------


def test_what_is_typed_comes_back_as_it_was(course: Course) -> None:
    """Commas, quotes, line ends and signs that no file holds cannot break a line out of its row."""
    see(course, by='R. "Rita" Okafor, lab', note='tared; "twice",\r\nthen\x00 began\u2028again', attempt=3)
    see(course, "A-02")
    first, second = kept(course)
    assert (first.by, first.attempt, second.number) == ('R. "Rita" Okafor, lab', 3, "A-02")
    assert first.note.startswith('tared; "twice", then')


def test_a_line_that_was_cut_off_never_takes_another_with_it(course: Course) -> None:
    """Wherever a crash cuts: what was whole is read, what is cut does not count, and the next entry is whole."""
    path = course.root / LIST
    see(course, note="first")
    whole = path.read_bytes()
    see(course, "A-02", note='a "quoted, note"', by="M. Ilves, assessor")
    longer = path.read_bytes()
    for cut in range(len(whole) + 1, len(longer)):
        path.write_bytes(longer[:cut])
        (one,) = see(course, "A-03")
        entries, unread = read_observations(course)
        survived = cut == len(longer) - 1  # only the line end is missing
        numbers = ["A-01", "A-02", "A-03"] if survived else ["A-01", "A-03"]
        assert [entry.number for entry in entries] == numbers
        assert unread == ([] if survived else [3])
        assert path.read_bytes().startswith(longer[:cut])
        assert (entries[-1], len({entry.entry for entry in entries})) == (one, len(entries))


def test_even_a_first_line_that_was_cut_off_is_survived(course: Course) -> None:
    """The names of the columns are for people; the list is read without them."""
    (course.root / LIST).write_bytes(b"entry,on,num")
    see(course)
    entries, unread = read_observations(course)
    assert (len(entries), unread) == (1, [1])


@pytest.mark.parametrize(
    ("old", "new"),
    [("observed", "simulated"), ("independent", "superb"), ("direct weighing", "juggling"), (DAY, "20.1.2026")],
)
def test_a_line_that_says_what_cannot_be_does_not_count(course: Course, old: str, new: str) -> None:
    """Above all no simulated one: it cannot be written into the list of what was observed. The line is told."""
    see(course)
    path = course.root / LIST
    path.write_text(path.read_text().replace(old, new, 1))
    assert read_observations(course) == ([], [2])


@pytest.mark.parametrize("separator", [";", "\t"])
def test_a_list_that_a_spreadsheet_saved_holds_what_it_held(course: Course, separator: str) -> None:
    """With semicolons or tabs, its own mark and line ends; what is added then stands beside it."""
    see(course, note="read at 12,5 mg")
    path = course.root / LIST
    rows = list(csv.reader(path.read_text(encoding="utf-8").splitlines()))
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        csv.writer(file, delimiter=separator).writerows(rows)
    see(course, "A-02", note="again; slowly")
    entries, unread = read_observations(course)
    assert unread == []
    assert [(one.entry, one.number, one.note) for one in entries] == [
        (1, "A-01", "read at 12,5 mg"),
        (2, "A-02", "again; slowly"),
    ]


def test_who_writes_at_the_same_time_waits(course: Course) -> None:
    """Two assessors in one laboratory: every entry is there, each with a number of its own."""
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(lambda n: see(course, "A-01,A-02", note=f"try {n}"), range(24)))
    entries, unread = read_observations(course)
    assert ([one.entry for one in entries], unread) == (list(range(1, 49)), [])


class FullDisk(io.FileIO):
    """A file on a disk that has room for half a line."""

    def write(self, data: Any, /) -> int:
        """Write what there is room for."""
        return super().write(bytes(data)[: len(data) // 2]) or 0


def test_on_a_full_disk_nothing_is_half_written(course: Course, monkeypatch: pytest.MonkeyPatch) -> None:
    """The list is as it was, and the sentence says what to do."""
    see(course)
    before = (course.root / LIST).read_bytes()

    @contextmanager
    def full(path: Path) -> Iterator[FullDisk]:
        with FullDisk(path, "a+") as file:
            yield file

    monkeypatch.setattr(the_list, "alone", full)
    with pytest.raises(CourseError, match="is the disk full"):
        see(course, "A-02,A-03")
    assert (course.root / LIST).read_bytes() == before


# Laws ----------------------------------------------------------------------------------------------------------------

COMMANDS = st.fixed_dictionaries(
    {
        "numbers": st.sampled_from(["A-01", "A-02", "A-01,A-03", "B-99", ""]),
        "what": st.sampled_from(["direct", "set-up", "rec", "second"]),
        "level": st.sampled_from(["not", "prompted", "ind", "withdrawn"]),
        "by": st.sampled_from(["R. Okafor", "A-02", ""]),
        "on": st.sampled_from(["2026-01-20", "2026-01-21", "2999-01-01"]),
        "note": st.text(max_size=12),
        "instead_of": st.none() | st.integers(0, 6),
        "because": st.sampled_from(["", "misread"]),
    }
)


@given(st.lists(COMMANDS, max_size=8))
def test_whatever_is_added_nothing_that_was_written_changes(commands: list[dict[str, Any]]) -> None:
    """Corrections and refusals included: each list begins with the one before it, and no entry is corrected twice."""
    with tempfile.TemporaryDirectory() as folder:
        course, before, entries = Course(Path(folder)), b"", []
        for command in commands:
            try:
                added = see(course, **command)
            except CourseError:
                added = []
            now = (course.root / LIST).read_bytes() if (course.root / LIST).is_file() else b""
            assert now.startswith(before)
            assert read_observations(course) == (entries + added, [])
            before, entries = now, entries + added
        corrected = [one.instead_of for one in entries if one.instead_of]
        assert len(corrected) == len(set(corrected))
        assert [one.entry for one in entries] == list(range(1, len(entries) + 1))


def entries_of(how: st.SearchStrategy[str]) -> st.SearchStrategy[list[Entry]]:
    """Return lists of entries, some of which correct another one of the list."""
    one = st.builds(
        Entry,
        entry=st.just(0),
        on=st.sampled_from(["2026-01-20", "2026-01-21", "2026-01-22"]),
        number=st.sampled_from(["A-01", "A-02"]),
        competency=st.sampled_from([Competency.DIRECT, Competency.RECORD]),
        attempt=st.integers(1, 3),
        how=how,
        level=st.sampled_from([*LEVELS, WITHDRAWN]),
        by=st.just("R. Okafor"),
        instead_of=st.integers(0, 9),
    )
    return st.lists(one, max_size=9).map(
        lambda found: [
            replace(one, entry=place, instead_of=one.instead_of if one.instead_of < place else 0)
            for place, one in enumerate(found, 1)
        ]
    )


@given(entries_of(st.sampled_from([OBSERVED, OBSERVED, OBSERVED, SIMULATED, MARKED])))
def test_what_holds_is_the_newest_observed_entry_that_nobody_corrected(entries: list[Entry]) -> None:
    """Looked for one by one, from the newest backwards."""
    expected = {}
    observed = [one for one in entries if one.how == OBSERVED]
    corrected = {one.instead_of for one in observed}
    for day in ("2026-01-22", "2026-01-21", "2026-01-20"):
        for one in reversed(observed):
            if one.on == day and one.level != WITHDRAWN and one.entry not in corrected:
                expected.setdefault((one.number, one.competency), one)
    assert standing(entries) == expected


@given(entries_of(st.just(OBSERVED)), entries_of(st.sampled_from([SIMULATED, MARKED])), st.randoms())
def test_simulated_entries_never_change_what_holds(observed: list[Entry], others: list[Entry], chance: Any) -> None:
    """However many, of whatever level, wherever among the others, and whatever they claim to correct."""
    mixed = [*observed, *(replace(one, entry=one.entry + 20) for one in others)]
    chance.shuffle(mixed)
    assert standing(mixed) == standing(observed)
