"""A figure of the plotting library as clean SVG that stands inside a page: real text, no other host, no script.

matplotlib is imported only when something is drawn. Its figures are used directly, so nothing is shared between two of
them; the same data give the same bytes.
"""

from __future__ import annotations

import gc
import io
import re
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any
from xml.etree import ElementTree

from markupsafe import Markup

from pharmcalc.classroom.marking.tidy import clean_text
from pharmcalc.classroom.term.shades import INK

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["LINE", "PICTURE", "draw", "one_line"]

LINE = "#6b7785"
PICTURE = "picture"
"""The name of a layer that is one picture for whoever hears the page; other layers hold links and stay as they are."""
_LOOK: dict[Any, Any] = {
    "axes.edgecolor": LINE,
    "axes.labelcolor": INK,
    "axes.linewidth": 0.6,
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans", "Verdana"],
    "font.size": 8.0,
    "hatch.color": LINE,
    "hatch.linewidth": 0.5,
    "svg.fonttype": "none",
    "text.color": INK,
    "text.parse_math": False,  # a name with two dollar signs is a name
    "xtick.color": INK,
    "ytick.color": INK,
}


def draw(
    key: str,
    width: float,
    height: float,
    fill: Callable[[Figure], None],
    *,
    title: str,
    says: str,
    layers: bool = False,
) -> Markup:
    """Return a figure as markup for a page.

    Parameters
    ----------
    key
        The figure's own word in the page: letters, digits and hyphens.
    width, height
        In inches, as the figure is printed.
    fill
        Draws into the empty figure.
    title, says
        What is read aloud: the figure's name, and what it shows.
    layers
        The figure has links in it: only the layer called ``PICTURE`` is one picture, the rest is read as it is.
    """
    import matplotlib
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    made = io.BytesIO()
    with matplotlib.rc_context(), warnings.catch_warnings(), _tidying_later():
        # The page's reader has other fonts than this machine; how wide a letter is here matters little.
        warnings.filterwarnings("ignore", message="Glyph .* missing from")
        matplotlib.rcdefaults()  # whatever this machine's own settings say
        matplotlib.rcParams.update({**_LOOK, "svg.hashsalt": key})
        figure = Figure(figsize=(width, height))
        FigureCanvasSVG(figure)
        figure.patch.set_visible(False)
        fill(figure)
        figure.savefig(made, format="svg", metadata={"Date": None})
    return Markup(_for_a_page(made.getvalue(), key, title, says, layers))  # every text in it was escaped


@contextmanager
def _tidying_later() -> Iterator[None]:
    """Let Python look for unused memory after a figure and not within it: it would look through the whole term again.

    A figure makes thousands of small things; for a class of 300 this took a fifth of the time.
    """
    before = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if before:
            gc.enable()


def one_line(text: str, most: int) -> str:
    """Return a text on one line, cut where it is too long for its place.

    >>> one_line("a name\\nthat goes on", 10)
    'a name th…'
    """
    line = " ".join(clean_text(text).split())
    return line if len(line) <= most else line[: most - 1].rstrip() + "…"


def _for_a_page(svg: bytes, key: str, title: str, says: str, layers: bool) -> str:
    """Take out what a page needs no second time (names of its own, ids, whose program it was) and add what is read."""
    root = ElementTree.fromstring(svg)
    styles: dict[str, str] = {}
    used = set(re.findall(r"#([\w-]+)[\")]", svg.decode()))
    named = {"role": "img", "aria-labelledby": f"{key}-title {key}-says"}
    body = ElementTree.Element("svg", {"class": "figure", "viewBox": root.attrib["viewBox"]})
    body.attrib |= {side: root.attrib[side] for side in ("width", "height")}
    body.attrib |= {"role": "group", "aria-labelledby": f"{key}-title"} if layers else named
    for tag, text in (("title", title), ("desc", says)):
        told = ElementTree.SubElement(body, tag, {"id": f"{key}-{'title' if tag == 'title' else 'says'}"})
        told.text = one_line(text, 2000)
    look = ElementTree.SubElement(body, "style")
    for child in root:
        body.extend(_kept(child, used, styles, key, named))
    look.text = "".join(f".{name}{{{style}}}" for style, name in styles.items())
    return ElementTree.tostring(body, encoding="unicode")


def _kept(
    element: ElementTree.Element, used: set[str], styles: dict[str, str], key: str, named: dict[str, str]
) -> Iterator[ElementTree.Element]:
    tag = element.tag.rpartition("}")[2]
    if tag in ("metadata", "style"):
        return
    made = ElementTree.Element(tag)
    for name, value in ((name.rpartition("}")[2], value) for name, value in element.attrib.items()):
        if name == "id" and value == PICTURE:
            made.attrib |= named
        elif name == "style" and tag == "text":
            made.set("class", styles.setdefault(value, f"{key}-{len(styles)}"))
        elif name == "d":
            made.set(name, " ".join(value.split()))
        elif not (_needless(name, value) or (name == "id" and value not in used)):
            made.set(name, value)
    made.text = element.text if tag == "text" else None
    for child in element:
        made.extend(_kept(child, used, styles, key, named))
    if tag == "g" and not made.attrib:
        yield from made
    elif tag != "defs" or len(made):
        yield made


def _needless(name: str, value: str) -> bool:
    """Say whether an attribute does nothing in a page: a turn by nothing, another window for a link."""
    return name == "target" or (name == "transform" and value.startswith(("rotate(-0 ", "rotate(0 ")))
