"""How nbgrader is set up for a course: read by ``nbgrader_config.py``, so its commands and ours do the same."""

from __future__ import annotations

import warnings
from importlib.resources import files

from nbconvert.exporters import HTMLExporter
from nbgrader.preprocessors import (
    AssignLatePenalties,
    CheckCellMetadata,
    ClearHiddenTests,
    ClearMarkScheme,
    ClearOutput,
    ComputeChecksums,
    DeduplicateIds,
    IncludeHeaderFooter,
    LockCells,
    OverwriteCells,
    OverwriteKernelspec,
    SaveAutoGrades,
    SaveCells,
)
from sqlalchemy.exc import SAWarning
from traitlets.config import Config

from pharmcalc.classroom.course import MARKED
from pharmcalc.classroom.engine import programs_on_path
from pharmcalc.classroom.marking.late import LatePolicy
from pharmcalc.classroom.marking.preprocessors import (
    EscapeStudentText,
    FeedbackPage,
    Grades,
    KnowDeadlines,
    MarkAnswers,
    ReleaseClear,
    Tidy,
)


def as_we_set_it(c: Config, command: str) -> bool:
    """Say whether nbgrader's command (``Autograde``, ``GenerateFeedback``) is set up as ``configure`` does it.

    Then ``run`` may do the same in one go. With steps or hooks of the instructor's own it leaves it to the command.
    """
    ours = Config()
    configure(ours)
    return bool(c[command] == ours[command])


def configure(c: Config) -> None:
    """Set up nbgrader for a course of ours.

    Parameters
    ----------
    c
        nbgrader's configuration, as ``get_config()`` returns it in ``nbgrader_config.py``. Lines below the call may
        change anything again, for example a penalty for late hand-ins.

    Notes
    -----
    ``Execute`` is left out on purpose: no student's code is ever run. What a mark cell is worth comes from
    ``MarkAnswers``.
    """
    programs_on_path()
    folders = c.CourseDirectory
    folders.source_directory = "solutions"
    folders.release_directory = "exercises"
    folders.solution_directory = "backups/nbgrader-solution"  # nbgrader's default is one letter from ours
    # Every other file beside a notebook is copied into the release: a script could hold answers. And nbgrader hands out
    # as feedback whatever page it finds, also one that came with a hand-in.
    folders.ignore = [".ipynb_checkpoints", "*.pyc", "*.py", "__pycache__", "feedback", MARKED, "*.html"]

    c.GenerateAssignment.preprocessors = [
        IncludeHeaderFooter,
        LockCells,
        ReleaseClear,
        ClearOutput,
        CheckCellMetadata,
        ComputeChecksums,
        SaveCells,
        ClearHiddenTests,
        ClearMarkScheme,
        ComputeChecksums,
        CheckCellMetadata,
    ]
    # nbgrader's check of its settings in every cell is left out: Tidy takes them all from the checked release.
    c.Autograde.sanitize_preprocessors = [
        Tidy,
        EscapeStudentText,
        ClearOutput,
        DeduplicateIds,
        OverwriteKernelspec,
        OverwriteCells,
    ]
    c.Autograde.autograde_preprocessors = [
        MarkAnswers,
        SaveAutoGrades,
        KnowDeadlines,
        AssignLatePenalties,
    ]

    c.AssignLatePenalties.plugin_class = LatePolicy

    c.ExchangeFactory.collect = "pharmcalc.classroom.handed_in.exchange.Collect"
    c.ExchangeFactory.release_feedback = "pharmcalc.classroom.handed_in.exchange.ReleaseFeedback"

    c.GenerateFeedback.preprocessors = [Grades, FeedbackPage]
    c.GenerateFeedback.exporter_class = HTMLExporter
    # Only for feedback: nbgrader's formgrader uses the same exporter with its own page.
    c.GenerateFeedback.HTMLExporter.template_name = "pharmcalc_feedback"
    c.GenerateFeedback.HTMLExporter.extra_template_basedirs = [str(files("pharmcalc.classroom") / "templates")]

    c.Exporter.optimistic_validation = True  # check a notebook's form once, not after every step
    c.Application.log_level = "WARN"
    warnings.filterwarnings("ignore", category=SAWarning)  # nbgrader's own way with its gradebook; harmless
