"""How `make lab` opens the course: the lessons in front, and nothing in sight that is not for a student."""

import os
from pathlib import Path

project = Path(__file__).resolve().parents[2]

c = get_config()  # noqa: F821 - Jupyter puts get_config into this file
c.ServerApp.root_dir = str(project)
c.LabApp.default_url = "/lab/tree/notebooks"
c.ServerApp.jpserver_extensions = {
    # The server halves of the nbgrader buttons that labconfig/page_config.json takes away.
    "nbgrader.server_extensions.assignment_list": False,
    "nbgrader.server_extensions.course_list": False,
    "nbgrader.server_extensions.formgrader": False,
    "nbgrader.server_extensions.validate_assignment": False,
    # It looks for language servers, which nobody here has, and says so at every start.
    "jupyter_lsp": False,
}
# Jupyter refuses to start for root unless it is told to; a fresh container has no other user.
c.ServerApp.allow_root = hasattr(os, "geteuid") and os.geteuid() == 0
