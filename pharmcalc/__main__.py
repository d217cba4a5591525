"""The command line: ``pharmcalc`` and what an instructor wants done. See ``pharmcalc --help``."""

from __future__ import annotations

import gc
import sys
from contextlib import suppress
from pathlib import Path
from typing import Any

#: Python looks for unused memory after so many new objects: seldom, for starting makes hundreds of thousands that stay.
gc.set_threshold(300_000)

try:
    import click
    from rich.console import Console

    from pharmcalc import __version__
    from pharmcalc.classroom.starting import leaving_out

    with leaving_out(absent=("numpy", "uncertainties")):  # pint would load them, for arrays of amounts
        import pint  # noqa: F401
    from pharmcalc.classroom.course import Course
    from pharmcalc.classroom.desk.door import Terminal, unexpected
    from pharmcalc.errors import PharmcalcError
except ModuleNotFoundError as missing:
    sys.exit(
        f"The command pharmcalc is for instructors and needs more than is installed ({missing.name} is missing). "
        'Install it: pip install "pharmcalc[class,lab]"'
    )

_FOLDER = click.Path(file_okay=False, path_type=Path)
_PATH = click.Path(path_type=Path)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__)
@click.option("--course", "folder", type=_FOLDER, default=".", help="The course folder (else the one you are in).")
@click.pass_context
def pharmcalc(context: click.Context, folder: Path) -> None:
    """Run a class in the mathematics of weighing.

    \b
    A week in order:
      pharmcalc start FOLDER         lay out a course folder (once)
      pharmcalc class class.csv      give the class list (again when it changes)
      pharmcalc issue weighing-1     make what students get
      pharmcalc take-in weighing-1 handed-in.zip
      pharmcalc mark weighing-1      marks, feedback pages, mark sheet, class report
      pharmcalc observe A-07 direct independent --by RO       in the lab
      pharmcalc record               the competency record of the term

    For education only; not for preparing or dispensing medicines.
    """
    context.obj = folder


@pharmcalc.command()
@click.argument("folder", type=_FOLDER)
def start(folder: Path) -> None:
    """Lay out a course folder with lessons and assignments."""
    from pharmcalc.classroom.desk import setting_up

    setting_up.start(folder, _door())


@pharmcalc.command()
@click.pass_obj
def upgrade(folder: Path) -> None:
    """Bring lessons and assignments up to the pharmcalc that is installed; your edits stay."""
    from pharmcalc.classroom.desk import setting_up

    setting_up.upgrade(Course.open(folder), _door())


@pharmcalc.command("class")
@click.argument("file", type=_PATH)
@click.pass_obj
def class_list(folder: Path, file: Path) -> None:
    """Give the class list: a CSV file with number, surname, given name, email."""
    from pharmcalc.classroom.desk import setting_up

    setting_up.class_list(Course.open(folder), file, _door())


@pharmcalc.command()
@click.argument("assignment")
@click.option("--again", is_flag=True, help="Issue it although it would change what students already have.")
@click.pass_obj
def issue(folder: Path, assignment: str, again: bool) -> None:
    """Make what students get: one notebook for all, and one for each."""
    from pharmcalc.classroom.desk import handing_out

    handing_out.issue(Course.open(folder), assignment, _door(), again=again)


@pharmcalc.command()
@click.argument("assignment")
@click.argument("until", default="")
@click.option("--student", "number", default="", help="For this student only.")
@click.pass_obj
def due(folder: Path, assignment: str, until: str, number: str) -> None:
    """Set the deadline: UNTIL is a date and time such as "2026-12-04 18:00", or "none"."""
    from pharmcalc.classroom.desk import handing_out

    handing_out.due(Course.open(folder), assignment, until, _door(), number=number)


@pharmcalc.command()
@click.argument("assignment")
@click.argument("numbers")
@click.pass_obj
def resit(folder: Path, assignment: str, numbers: str) -> None:
    """Issue an assignment once more with fresh numbers for some: NUMBERS such as A-03,A-07."""
    from pharmcalc.classroom.desk import handing_out

    handing_out.resit(Course.open(folder), assignment, numbers, _door())


@pharmcalc.command("take-in")
@click.argument("assignment")
@click.argument("parcel", type=_PATH)
@click.pass_obj
def take_in(folder: Path, assignment: str, parcel: Path) -> None:
    """Take in hand-ins: a folder or a zip, as a learning platform gives them."""
    from pharmcalc.classroom.desk import taking_in

    taking_in.take_in_parcel(Course.open(folder), assignment, parcel, _door())


@pharmcalc.command("take-back")
@click.argument("assignment")
@click.argument("number")
@click.option("--by", required=True, help="Who decided: a name or initials.")
@click.pass_obj
def take_back(folder: Path, assignment: str, number: str, by: str) -> None:
    """Take a hand-in back from a student, because it is somebody else's; its marks go with it."""
    from pharmcalc.classroom.desk import taking_in

    taking_in.take_back_handin(Course.open(folder), assignment, number, by, _door())


@pharmcalc.command()
@click.argument("assignment")
@click.option("--again", is_flag=True, help="Mark those too that were marked before.")
@click.pass_obj
def mark(folder: Path, assignment: str, again: bool) -> None:
    """Mark; write feedback pages, mark sheet and class report."""
    from pharmcalc.classroom.desk import marking

    marking.mark(Course.open(folder), assignment, _door(), again=again)


@pharmcalc.command()
@click.argument("assignment")
@click.pass_obj
def report(folder: Path, assignment: str) -> None:
    """Write pages and sheets anew after marking by hand."""
    from pharmcalc.classroom.desk import marking

    marking.report(Course.open(folder), assignment, _door())


@pharmcalc.command()
@click.pass_obj
def term(folder: Path) -> None:
    """Write the class over the term: marks, mistakes, progress, who needs help."""
    from pharmcalc.classroom.desk import over_the_term

    over_the_term.term(Course.open(folder), _door())


@pharmcalc.command()
@click.argument("assignment")
@click.argument("number")
@click.argument("task")
@click.argument("marks")
@click.option("--reason", required=True, help="Why; the student reads it.")
@click.option("--by", required=True, help="Who decided: a name or initials.")
@click.pass_obj
def change(folder: Path, assignment: str, number: str, task: str, marks: str, reason: str, by: str) -> None:
    """Change a mark by hand, with its reason; MARKS is a number, or "back" for the marking's own."""
    from pharmcalc.classroom.desk import second_look

    second_look.change(Course.open(folder), assignment, number, task, marks, reason, by, _door())


@pharmcalc.command()
@click.argument("assignment")
@click.pass_obj
def scripts(folder: Path, assignment: str) -> None:
    """Lay ten marked scripts side by side, to check the marker by."""
    from pharmcalc.classroom.desk import second_look

    second_look.scripts(Course.open(folder), assignment, _door())


@pharmcalc.command()
@click.argument("assignment")
@click.option("--pdf", is_flag=True, help="As PDF too: the whole class in one file, the keys in another.")
@click.option("--letter", is_flag=True, help="The PDF on Letter paper (else A4).")
@click.option("--large", is_flag=True, help="Large print for all (else for those with large print in the class list).")
@click.pass_obj
def sheets(folder: Path, assignment: str, pdf: bool, letter: bool, large: bool) -> None:
    """Write pages to print: students' sheets, the key, the sign-off list."""
    from pharmcalc.classroom.desk import on_paper

    on_paper.sheets(Course.open(folder), assignment, _door(), pdf=pdf or letter, letter=letter, large=large)


@pharmcalc.command()
@click.argument("code")
@click.option("--working", is_flag=True, help="With the full working.")
@click.pass_obj
def paper(folder: Path, code: str, working: bool) -> None:
    """Find a printed paper by its CODE: whose it is, its key, and the page of the keys."""
    from pharmcalc.classroom.desk import on_paper

    on_paper.paper(Course.open(folder), code, _door(), working=working)


@pharmcalc.command("type-in")
@click.argument("assignment")
@click.argument("file", type=_PATH, required=False)
@click.option("--by", required=True, help="Who types: a name or initials.")
@click.pass_obj
def type_in(folder: Path, assignment: str, file: Path | None, by: str) -> None:
    """Type in answers from paper, one line a student; or from FILE, a text with such lines.

    \b
    A line:  paper code (or student number); answer; answer; ...
    Answers in the order printed, as the student wrote them; an empty place is no answer.
    Where a box was ticked, its letter. Tabs do as well, so lines can be pasted from a spreadsheet.

    A paper typed in after the deadline counts as handed in at the deadline.
    """
    from pharmcalc.classroom.desk import on_paper

    course, door = Course.open(folder), _door()
    if file is not None:
        on_paper.type_in(course, assignment, on_paper.lines_of(file), by, door)
        return
    session = on_paper.typing(course, assignment, by, door)
    try:
        while session.hear(_typed()):
            pass
    except BaseException:
        session.leave()
        raise
    on_paper.typed(session, door)


@pharmcalc.command()
@click.argument("number")
@click.argument("competency")
@click.argument("level")
@click.option("--by", required=True, help="Who observed it: a name or initials.")
@click.option("--on", default="", help="The day, such as 2026-11-20 (else today).")
@click.option("--attempt", type=int, help="Which of the student's attempts it was (else the next).")
@click.option("--note", default="", help="What else is worth knowing.")
@click.option("--instead-of", type=int, metavar="ENTRY", help="The number of the entry that this one corrects.")
@click.option("--because", default="", help="Why it is corrected.")
@click.pass_obj
def observe(folder: Path, /, number: str, competency: str, level: str, **details: Any) -> None:
    """Write down what you observed, of one student or of several (A-01,A-04,A-07).

    \b
    COMPETENCY: calculation, set-up, direct, solid, liquid, record, given, received
    LEVEL: not-yet, prompted, independent; or withdrawn, which takes an entry back
    The beginning of a word is enough: pharmcalc observe A-07 direct ind --by RO

    Only what you watched at a real balance: a simulated weighing never counts as observed.
    """
    from pharmcalc.classroom.desk import over_the_term

    over_the_term.observe(Course.open(folder), number, competency, level, _door(), **details)


@pharmcalc.command()
@click.argument("number", default="")
@click.pass_obj
def record(folder: Path, number: str) -> None:
    """Write the competency record of the term; with a NUMBER, show that student's here."""
    from pharmcalc.classroom.desk import over_the_term

    over_the_term.record(Course.open(folder), _door(), number=number)


@pharmcalc.command()
@click.pass_obj
def exercises(folder: Path) -> None:
    """Make exercises/ from solutions/, for whoever writes assignments."""
    from pharmcalc.classroom.desk import setting_up

    setting_up.exercises(Course.open(folder), _door())


@pharmcalc.command()
@click.argument("folder", type=_FOLDER, default="demo-class")
def demo(folder: Path) -> None:
    """Run an invented class of 24 from issue to report in FOLDER."""
    from pharmcalc.classroom.demo.demo import run_demo

    run_demo(folder, _door())


def main() -> None:
    """Run the command line; an error is one plain message and exit code 1."""
    sys.exit(run(sys.argv[1:]))


def run(words: list[str]) -> int:
    """Run a command given as words and return the exit code."""
    try:
        pharmcalc(words, standalone_mode=False)
        return 0
    except click.exceptions.Exit as done:
        return done.exit_code
    except click.Abort:
        click.echo("Stopped. Run the same command again to go on.", err=True)
        return 1
    except click.ClickException as trouble:
        trouble.show()
        return 1
    except PharmcalcError as trouble:
        click.echo(trouble, err=True)
        return 1
    except Exception:  # noqa: BLE001  # told in one sentence; the details go to a file
        click.echo(unexpected(Path()), err=True)
        return 1


def _typed() -> str:
    """Ask for a line; the end of the input is an empty one. Arrow keys bring earlier lines back."""
    with suppress(ImportError):  # not on Windows, where the terminal does it by itself
        import readline  # noqa: F401
    try:
        return input("> ")
    except EOFError:
        return ""


def _door() -> Terminal:
    return Terminal(Console(soft_wrap=True))


if __name__ == "__main__":
    main()
