"""Where the simulated bench of an assignment stands: below its task, as soon as the student's own order is known."""

from pathlib import Path

import ipywidgets

from pharmcalc.bench import file_name
from pharmcalc.notebook.sitting import Sitting
from pharmcalc.widgets.bench import BenchCard
from pharmcalc.widgets.bench_view import BenchView

__all__ = ["BenchPlace"]


class BenchPlace:
    """The place of one task's bench. The record is kept in a file beside the notebook."""

    def __init__(self, task_id: str) -> None:
        self.task_id = task_id
        self.box = ipywidgets.VBox([])
        self.view: BenchView | None = None

    def show(self, sitting: Sitting) -> None:
        """Show the bench with the order that the sitting asks for now; the same order stays as it is."""
        task = sitting.at_the_bench(self.task_id)
        if task is None:
            self.view = None
        elif self.view is None or (self.view.card.order, self.view.judged) != (task.drawn.order, sitting.at_once):
            self.view = BenchView(BenchCard(task, Path(file_name(self.task_id))), judged=sitting.at_once)
        self.box.children = () if self.view is None else (self.view,)
