"""The class loop on nbgrader's machinery and gradebook: a class list, an issue, hand-ins, marks, feedback, a report.

===============  ===========================================================================================
``issuing``      what students get: release, issue, deadlines, resits
``handed_in``    what comes in: whose is it, which of several counts, records of the simulated bench
``marking``      one hand-in (``assess``: tidy, escaping, marker; ``feedback_page``), a whole class (``run`` and
                 ``feedback_run``: workers mark, the ledger owns the gradebook), the same steps inside nbgrader
                 (``preprocessors``, ``late``)
``results``      the class after marking: picture, report, ten scripts side by side, marks changed by hand, attempts
``term``         the class over all assignments
``competency``   what was observed of each student, over the term
``desk``         an instructor's commands, each told in a few lines through a ``door``: the terminal's, or that of the
``drawers``      of the notebook
``demo``         an invented class
below all        ``course`` (the folder), ``roster`` (the class list), ``lists`` (only ever added to), ``cells``,
                 ``pages``, ``config`` (nbgrader's settings), ``engine`` (its converters and gradebook), ``starting``
                 (what is not loaded, for a quick start)
===============  ===========================================================================================

Import the modules by name; this page imports none, because nbgrader is slow to start.
"""
