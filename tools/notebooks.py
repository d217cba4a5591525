"""Keep notebooks clean: what a reader needs is kept, what one run or one program left behind is taken out.

python -m tools.notebooks            clean the notebooks of the project (`make format`)
python -m tools.notebooks FILE ...   clean these
"""

import json
import sys
from collections.abc import Iterable
from pathlib import Path

import nbformat

PROJECT = Path(__file__).resolve().parent.parent
WRITTEN_BY_HAND = ("notebooks", "solutions")  # exercises/ is made from solutions/

KERNEL = {"display_name": "Python 3", "language": "python", "name": "python3"}
KEPT_IN_A_CELL = {
    "deletable",
    "editable",
    "jupyter",  # whether the source is folded
    "nbgrader",
    "tags",
}


def notebooks() -> list[Path]:
    """Return the project's notebooks that are written by hand."""
    found = (path for folder in WRITTEN_BY_HAND for path in (PROJECT / folder).rglob("*.ipynb"))
    return sorted(path for path in found if ".ipynb_checkpoints" not in path.parts)


def cleaned(text: str) -> str:
    """Return a notebook's text without outputs, counts, and metadata that a reader has no use for.

    Raises ValueError when two cells have one id, or a cell has none; nbformat would make one up.
    """
    ids = [cell.get("id", "none") for cell in json.loads(text)["cells"]]
    doubled = sorted({name for name in ids if name == "none" or ids.count(name) > 1})
    if doubled:
        raise ValueError(f"Each cell needs an id of its own. Give new ones to: {', '.join(doubled)}.")
    notebook = nbformat.reads(text, as_version=4)
    notebook.metadata = nbformat.from_dict({"kernelspec": KERNEL})
    for cell in notebook.cells:
        cell.metadata = nbformat.from_dict(
            {name: value for name, value in cell.metadata.items() if name in KEPT_IN_A_CELL and value != []}
        )
        if cell.cell_type == "code":
            cell.outputs = []
            cell.execution_count = None
    return str(nbformat.writes(notebook)) + "\n"


def main(names: Iterable[str]) -> None:
    """Clean the named notebooks, or all, and say which were changed."""
    for path in [Path(name) for name in names] or notebooks():
        text = path.read_text(encoding="utf-8")
        clean = cleaned(text)
        if clean != text:
            path.write_text(clean, encoding="utf-8", newline="\n")
            print(f"cleaned {path}")


if __name__ == "__main__":
    main(sys.argv[1:])
