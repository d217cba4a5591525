"""The course inside a notebook: ``notebook.begin("weighing-1")`` for an assignment, ``notebook.lesson()`` for a lesson.

Importing this changes nothing and needs no IPython.
"""

from pharmcalc.notebook.doors import begin, habits, lesson

__all__ = ["begin", "habits", "lesson"]
