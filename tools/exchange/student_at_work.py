"""What a student does with a fetched notebook, for `make exchange`; run as the student, with what a student has.

python student_at_work.py read NOTEBOOK NUMBER               run every cell with the number typed in, tell what failed
python student_at_work.py answer NOTEBOOK NUMBER [TASK ...]  write worked answers and bench records; leave TASK out
"""

from __future__ import annotations

import json
import sys
from collections.abc import Collection
from pathlib import Path

from pharmcalc.bench import file_name, record_text, weigh_by_the_book
from pharmcalc.classroom.cells import cells_by_id
from pharmcalc.classroom.issuing.issue import copy_for
from pharmcalc.tasks.papers import answer_id, read_issue


def answer(path: Path, number: str, left_out: Collection[str]) -> None:
    """Write the right answers into the notebook, and a record by the book beside it for each task at the bench."""
    notebook = copy_for(json.loads(path.read_text(encoding="utf-8")), number)
    cells = cells_by_id(notebook)
    for task in read_issue(notebook).paper(number).tasks:
        if task.id in left_out:
            cells[answer_id(task.id)]["source"] = f"%%answer {task.id}"
        elif task.drawn.order is not None:
            path.with_name(file_name(task.id)).write_text(record_text(weigh_by_the_book(task.drawn.order)))
        else:
            cells[answer_id(task.id)]["source"] = f"%%answer {task.id}\n{task.answer_lines()}"
    path.write_text(json.dumps(notebook, indent=1), encoding="utf-8")


def read(path: Path, number: str) -> None:
    """Run the notebook in a kernel of this user's, and say what came out."""
    import nbformat
    from nbclient import NotebookClient

    notebook = nbformat.reads(json.dumps(copy_for(json.loads(path.read_text(encoding="utf-8")), number)), as_version=4)
    NotebookClient(notebook, allow_errors=True, resources={"metadata": {"path": str(path.parent)}}).execute()
    code = [cell for cell in notebook.cells if cell.cell_type == "code"]
    errors = [out.evalue for cell in code for out in cell.outputs if out.output_type == "error"]
    print(f"{len(code)} code cells run, {len(errors)} failed {'; '.join(errors)}".strip())


if __name__ == "__main__":
    what, notebook_path, student, *tasks = sys.argv[1:]
    if what == "read":
        read(Path(notebook_path), student)
    else:
        answer(Path(notebook_path), student, tasks)
