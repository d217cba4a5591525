"""nbgrader's settings for this course. They are kept in pharmcalc, so that every course folder has the same.

Your own lines may stand below, for example a penalty for late hand-ins. nbgrader's documentation names the settings.
"""

from pharmcalc.classroom.config import configure

c = get_config()  # noqa: F821  (nbgrader defines it)
configure(c)
