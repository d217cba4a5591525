"""The term's two charts: mistakes by how many students made them, and the shares of the marks over the assignments."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from pharmcalc.classroom.term.lookings import Frequent, Progress
from pharmcalc.classroom.term.pictures import LINE, draw, one_line
from pharmcalc.classroom.term.shades import INK, SHADES

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["MOST_BARS", "bars", "lines", "percent", "where"]

MOST_BARS = 20
_WIDE = 7.3  # inches: across a printed page
_BAR = SHADES[2].colour
_LETTERS = 52


def percent(share: float) -> str:
    """Return a share as people say it.

    >>> percent(0.834)
    '83 %'
    """
    return f"{100 * share:.0f} %"


def where(mistake: Frequent) -> str:
    """Say in which assignments a mistake was made, and by how many students in each."""
    return ", ".join(f"{assignment} {len(made)}" for assignment, made in mistake.by_assignment.items())


def bars(mistakes: Sequence[Frequent]) -> Markup:
    """Return the most frequent mistakes as bars, each with its number and its assignments."""
    shown = mistakes[:MOST_BARS]
    names = [textwrap.wrap(one_line(one.name, 3 * _LETTERS), _LETTERS) for one in shown]
    tall = [0.13 * max(2, len(lines)) + 0.02 for lines in names]
    height = sum(tall) + 0.15

    def fill(figure: Figure) -> None:
        axes = figure.add_axes((0.43, 0, 0.36, 1), ylim=(height, 0), xlim=(0, max(len(one.students) for one in shown)))
        axes.set_axis_off()
        y = 0.07
        for one, lines_, high in zip(shown, names, tall, strict=True):
            count, middle = len(one.students), y + high / 2
            axes.barh(middle, count, height=0.2, color=_BAR, edgecolor=INK, linewidth=0.5)
            axes.annotate(
                "\n".join(lines_), (0, middle), (-5, 0), textcoords="offset points", ha="right", va="center", fontsize=7
            )
            told = [str(count), *textwrap.wrap(where(one), 30)]
            axes.annotate(
                told[0], (count, middle), (4, 0), textcoords="offset points", ha="left", va="center", weight="bold"
            )
            extra = 4 + 6 * len(told[0]) + 4
            axes.annotate(
                "\n".join(told[1:3]) + ("…" if told[3:] else ""),
                (count, middle),
                (extra, 0),
                textcoords="offset points",
                ha="left",
                va="center",
                fontsize=6,
            )
            y += high

    says = "; ".join(f"{one.name}: {len(one.students)} ({where(one)})" for one in shown)
    title = "Mistakes by the number of students who made them, with the assignments they were made in"
    return draw("mistake-bars", _WIDE, height, fill, title=title, says=f"Bars. {says}.")


def lines(steps: Sequence[Progress]) -> Markup:
    """Return the shares of the marks over the assignments: each student a thin line, median and quartiles over them."""
    numbers = list(dict.fromkeys(number for step in steps for number in step.shares))
    places = range(len(steps))

    def fill(figure: Figure) -> None:
        axes = figure.add_axes((0.08, 0.19, 0.9, 0.78), xlim=(-0.5, len(steps) - 0.5), ylim=(-0.04, 1.06))
        faint = max(0.15, min(0.6, 12 / max(1, len(numbers))))
        for number in numbers:
            shares = [step.shares.get(number, float("nan")) for step in steps]
            axes.plot(places, shares, color=LINE, linewidth=0.6, alpha=faint, marker="o", markersize=2, zorder=1)
        for place, step in enumerate(steps):
            box: dict[str, Any] = {
                "bottom": step.low,
                "width": 0.26,
                "color": _BAR,
                "alpha": 0.75,
                "edgecolor": INK,
                "zorder": 2,
            }
            axes.bar(place, step.high - step.low, **box)
            axes.plot([place - 0.16, place + 0.16], [step.middle] * 2, color=INK, linewidth=2.2, zorder=3)
            axes.annotate(
                percent(step.middle),
                (place + 0.17, step.middle),
                (1, 0),
                textcoords="offset points",
                va="center",
                weight="bold",
                zorder=4,
                bbox={"facecolor": "#ffffff", "edgecolor": "none", "pad": 0.6, "alpha": 0.85},
            )
        axes.set_yticks([0, 0.25, 0.5, 0.75, 1], ["0 %", "25 %", "50 %", "75 %", "100 %"])
        axes.grid(axis="y", color="#c3ccd6", linewidth=0.5)
        axes.set_axisbelow(True)
        axes.set_xticks(list(places), [_foot(step, len(steps)) for step in steps])
        axes.tick_params(length=2)
        axes.spines[["top", "right"]].set_visible(False)

    said = (
        f"{step.assignment}: median {percent(step.middle)}, quartiles {percent(step.low)} and {percent(step.high)}, "
        f"{step.cleared} of {step.marked} cleared"
        for step in steps
    )
    says = (
        "A thin line for each student; a box from the lower to the upper quartile, with a thick line at the median. "
        + "; ".join(said)
        + "."
    )
    return draw("progress-lines", _WIDE, 3.6, fill, title="Share of the marks in each assignment", says=says)


def _foot(step: Progress, many: int) -> str:
    room = max(6, int(92 / many))
    return f"{one_line(step.assignment, room)}\ncleared\n{step.cleared} of {step.marked}"
