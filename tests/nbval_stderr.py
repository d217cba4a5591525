"""Make nbval stricter about the lessons.

    pytest -p tests.nbval_stderr --nbval-lax notebooks

nbval runs every cell and fails on an error. It says nothing of a warning on stderr, which a student sees in
red, nor of a cell that is marked `raises-exception` and no longer raises.
"""

from collections.abc import Generator

import pytest
from nbval.plugin import IPyNbCell


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None, None, None]:
    """Let nbval run the cell, then look at what it left."""
    yield
    if not isinstance(item, IPyNbCell):
        return
    outputs = item.test_outputs or []
    errors = [output.text for output in outputs if output.output_type == "stream" and output.name == "stderr"]
    if errors:
        item.raise_cell_error("The cell wrote to stderr", "".join(errors))
    if item.options["check_exception"] and not any(output.output_type == "error" for output in outputs):
        item.raise_cell_error("The cell is marked raises-exception, and it raised nothing")
