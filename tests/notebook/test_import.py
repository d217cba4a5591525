"""The notebook's rooms without the libraries of a notebook."""

import subprocess
import sys

WITHOUT = """
import sys

class Gone:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in {"IPython", "ipywidgets", "numpy", "matplotlib", "jinja2"}:
            raise ModuleNotFoundError(f"No module named {name!r}", name=name)

sys.meta_path.insert(0, Gone())
from pharmcalc import notebook, widgets
from pharmcalc.errors import CourseError

assert "<svg" in widgets.error_band_figure().html
assert "<svg" in widgets.aliquot_figure().html
card = widgets.PracticeCard("aliquot-plan")
assert card.check(card.task.answer_lines()).cleared
try:
    notebook.begin("weighing-1")
except CourseError as error:
    print(error)
"""


def test_cards_and_pictures_need_none_of_them() -> None:
    """Import, pictures and practice work on the two libraries of the mathematics alone; begin says what is missing."""
    done = subprocess.run([sys.executable, "-c", WITHOUT], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert "there is no notebook here" in done.stdout
