"""The first page of the site, and the one line that lets its links run what they open."""

from pathlib import Path
from urllib.parse import quote

from markupsafe import Markup

from pharmcalc.classroom.course_files import LESSONS
from pharmcalc.pages import render
from pharmcalc.widgets import aliquot_figure
from pharmcalc.widgets.style import style_tag
from tools.site.contents import ALIQUOTS, notebooks

RUN = Path(__file__).with_name("run.js")
_SCRIPT = '<script src="../run.js" defer></script>'


def landing_page() -> str:
    """Return the page."""
    lessons = notebooks(f"{LESSONS}/0") + notebooks(f"{LESSONS}/1")
    drawn = aliquot_figure(drug_wanted="6 mg", multiple_factor="20", aliquot="120 mg")
    picture, words = drawn.html.partition("</figure>")[0] + "</figure>", drawn.text.partition("\n")[0]
    return render(
        "tools.site",
        "landing",
        lessons=lessons,
        first=lessons[0],
        aliquots=ALIQUOTS,
        practice=f"{LESSONS}/practice.ipynb",
        bench=lessons[2].path,
        glossary=f"{LESSONS}/glossary.md",
        assignments=notebooks(f"{LESSONS}/exercises/"),
        open=_open,
        look=Markup(style_tag()),
        drawn={"picture": Markup(picture), "words": words},
    )


def write_pages(site: Path) -> None:
    """Put the landing page in the place of JupyterLite's own, and let JupyterLab run what a link asks it to."""
    (site / "index.html").write_text(landing_page(), encoding="utf-8")
    (site / RUN.name).write_bytes(RUN.read_bytes())
    lab = site / "lab" / "index.html"
    text = lab.read_text(encoding="utf-8")
    assert text.count("</head>") == 1
    lab.write_text(text.replace("</head>", f"{_SCRIPT}</head>"), encoding="utf-8")


def _open(path: str, run: bool = True) -> str:
    return f"lab/index.html?path={quote(path)}{'&run' if run else ''}"
