"""Leaving out, for a quick start, what a program does not use."""

import subprocess
import sys
from pathlib import Path

import pytest

from pharmcalc.classroom.starting import leaving_out


def test_what_is_left_out_seems_not_installed_inside_and_is_there_afterwards() -> None:
    """An import fails as it would without the library, and the library is not harmed."""
    sys.modules.pop("colorsys", None)
    with leaving_out(absent=["colorsys"]), pytest.raises(ModuleNotFoundError, match="colorsys"):
        import colorsys
    import colorsys

    assert colorsys.rgb_to_hls(1, 1, 1) == (0, 1, 0)


def test_what_is_left_for_later_is_loaded_when_it_is_called() -> None:
    """Both ways of importing work; what was imported inside keeps working outside."""
    sys.modules.pop("colorsys", None)
    with leaving_out(later=["colorsys"]):
        import colorsys as inside
        from colorsys import rgb_to_hls
    assert "colorsys" not in sys.modules
    assert rgb_to_hls(1, 1, 1) == inside.rgb_to_hls(1, 1, 1) == (0, 1, 0)
    assert "colorsys" in sys.modules


def test_a_part_of_a_package_is_left_for_later_with_it() -> None:
    """Then ``from package import part`` loads neither, and the part's functions work."""
    parts = ["xml.dom", "xml.dom.minidom"]
    for name in [name for name in sys.modules if name.startswith("xml.dom")]:
        sys.modules.pop(name)
    with leaving_out(later=parts):
        from xml.dom import minidom
    assert not [name for name in parts if name in sys.modules]
    assert minidom.parseString("<jar/>").documentElement.tagName == "jar"


def test_once_the_library_is_loaded_all_of_it_is_there() -> None:
    """An error's class is named only where a function was called that can raise it."""
    sys.modules.pop("colorsys", None)
    with leaving_out(later=["colorsys"]):
        import colorsys
    assert colorsys.rgb_to_hls(1, 1, 1) == (0, 1, 0)
    assert colorsys.ONE_THIRD == 1 / 3


def test_a_module_that_is_loaded_stays_as_it_is() -> None:
    """Somebody else in this process uses it."""
    import json

    with leaving_out(absent=["json"], later=["json.decoder"]):
        assert sys.modules["json"] is json
        assert sys.modules["json.decoder"].JSONDecoder is json.JSONDecoder
    assert sys.modules["json"] is json


def test_an_error_inside_leaves_no_stand_in_behind() -> None:
    """Else a later import would find it."""
    sys.modules.pop("colorsys", None)
    with pytest.raises(ZeroDivisionError), leaving_out(absent=["colorsys"]):
        1 / 0  # noqa: B018
    assert "colorsys" not in sys.modules


@pytest.mark.parametrize(
    ("program", "unused"),
    [
        ("import pharmcalc", ["pharmcalc.units", "pint", "lark"]),
        (
            "import pharmcalc.__main__",
            ["numpy", "nbgrader", "pharmcalc.tasks.weighing", "pharmcalc.classroom.desk.marking"],
        ),
        (
            "import pharmcalc.__main__; from pharmcalc.classroom.desk import "
            "handing_out, marking, on_paper, over_the_term, second_look, setting_up, taking_in",
            ["numpy", "nbgrader", "matplotlib", "weasyprint", "pypdf"],
        ),
        (
            "import pharmcalc.classroom.desk.marking; from pharmcalc.classroom.engine import ready; ready()",
            [
                *("requests", "setuptools", "bs4", "yaml", "rapidfuzz"),
                *("matplotlib", "weasyprint", "nbgrader.server_extensions.formgrader"),
            ],
        ),
    ],
    ids=["library", "command", "desk", "marking"],
)
def test_a_program_starts_without(program: str, unused: list[str], tmp_path: Path) -> None:
    """A new Python that loads the program has none of these loaded."""
    program += f"; import sys; print([name for name in {unused!r} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, cwd=tmp_path)
    assert (done.stdout.strip(), done.stderr) == ("[]", "")


def test_what_was_left_out_of_nbgrader_is_there_when_it_is_needed(tmp_path: Path) -> None:
    """Markdown is drawn for a feedback page of nbgrader's own, and a zip is unpacked, though marking does neither."""
    program = """
from pharmcalc.classroom.engine import ready
ready()
import nbformat
from nbconvert.exporters import HTMLExporter
nb = nbformat.v4.new_notebook(cells=[nbformat.v4.new_markdown_cell("*light* **heavy** ![a](a.png)")])
page, _ = HTMLExporter().from_notebook_node(nb)
print("<em>light</em> <strong>heavy</strong>" in page)
import zipfile
from nbgrader.utils import unpack_archive
with zipfile.ZipFile("parcel.zip", "w") as parcel:
    parcel.writestr("inside.txt", "there")
unpack_archive("parcel.zip", "out")
print(open("out/inside.txt").read())
"""
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, cwd=tmp_path)
    assert done.stdout.split() == ["True", "there"], done.stderr
