"""The three pages of one class, drawn once."""

import pytest

from pharmcalc.sheets import instructor_key, sign_off_list, student_sheets
from tests.sheets.building import CLASS, issue


@pytest.fixture(scope="session")
def sheets() -> str:
    """Return the students' sheets."""
    return student_sheets(issue(), CLASS)


@pytest.fixture(scope="session")
def large_sheets() -> str:
    """Return the students' sheets in large print."""
    return student_sheets(issue(), CLASS, large_print=True)


@pytest.fixture(scope="session")
def key() -> str:
    """Return the instructor's key."""
    return instructor_key(issue(), CLASS)


@pytest.fixture(scope="session")
def sign_off() -> str:
    """Return the sign-off list after marking."""
    return sign_off_list(issue(), CLASS, {"A-01": True, "A-02": False})


@pytest.fixture(params=["sheets", "large_sheets", "key", "sign_off"])
def any_page(request: pytest.FixtureRequest) -> str:
    """Return each of the pages in turn."""
    page: str = request.getfixturevalue(request.param)
    return page
