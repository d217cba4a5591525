"""HTML made into PDF by WeasyPrint, and PDFs joined by pypdf.

WeasyPrint needs Pango, which belongs to the system and not to Python; ``missing`` says what to install. It is imported
only when a PDF is made: everything else works without it.
"""

import io
from collections.abc import Iterable, Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any

from pharmcalc.errors import CourseError
from pharmcalc.language import NEUTRAL
from pharmcalc.sheets.layout import Layout
from pharmcalc.sheets.printing import printed

__all__ = ["join", "missing", "page_of", "pages_of", "pdf_of", "put_together", "sign_off_style", "style_of"]

_INSTALL = (
    "A PDF needs {what}. Install it, then run this again:\n"
    "  Debian, Ubuntu: sudo apt install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 fonts-dejavu-core\n"
    "  Fedora: sudo dnf install pango\n"
    "  macOS: brew install pango\n"
    "  Windows: install MSYS2, and in its window type: pacman -S mingw-w64-x86_64-pango\n"
    "Until then, open the HTML pages in a browser and print them."
)
_LIBRARY = 'A PDF needs the Python package {what}. Install it: pip install "pharmcalc[class]"'

Pages = Any
"""WeasyPrint's laid-out document, which tells its types only in part."""


def missing() -> str:
    """Return what is missing on this machine for a PDF and how to get it, or an empty text."""
    try:
        import pypdf  # noqa: F401
        import weasyprint  # noqa: F401
    except ModuleNotFoundError as package:
        return _LIBRARY.format(what=package.name)
    except OSError:  # the library below WeasyPrint cannot be loaded
        return _INSTALL.format(what="the library Pango, which this system lacks")
    return ""


@lru_cache(maxsize=8)
def style_of(layout: Layout, language: str = NEUTRAL.language) -> Any:
    """Return the style sheet of a layout in a language, parsed once for all pages of it."""
    weasyprint = _weasyprint()
    return weasyprint.CSS(string=printed("pdf.css", layout=layout), font_config=_fonts())


def pages_of(html: str, *styles: Any) -> Pages:
    """Lay one person's pages out; they are numbered from 1 to their own last."""
    weasyprint = _weasyprint()
    return weasyprint.HTML(string=html, url_fetcher=_fetch_nothing).render(stylesheets=[*styles], font_config=_fonts())


def put_together(documents: Sequence[Pages]) -> bytes:
    """Write laid-out pages as one PDF, which holds each typeface once."""
    first, *_ = documents
    pages = [page for document in documents for page in document.pages]
    made: bytes = first.copy(pages).write_pdf()
    return made


def pdf_of(html: str, *styles: Any) -> bytes:
    """Make one page of HTML into a PDF of its own, tagged for whoever has it read aloud."""
    made: bytes = pages_of(html, *styles).write_pdf(pdf_tags=True)
    return made


def sign_off_style(paper: str) -> Any:
    """Return what the sign-off list needs besides its own style: the paper, and the cautions on every page."""
    return _weasyprint().CSS(string=printed("pdf_sign_off.css", paper=paper))


def join(parts: Iterable[bytes], *, title: str, outline: Iterable[tuple[str, int]] = ()) -> bytes:
    """Join PDFs in order.

    title: what the window is called. outline: entries of the list of contents, each with its page, counted from 0.
    """
    from pypdf import PdfReader, PdfWriter
    from pypdf.generic import BooleanObject, DictionaryObject, NameObject, TextStringObject

    writer = PdfWriter()
    for part in parts:
        writer.append(PdfReader(io.BytesIO(part)), import_outline=False)
    for words, page in outline:
        writer.add_outline_item(title=words, page_number=page)
    writer.add_metadata({"/Title": title})
    writer.root_object[NameObject("/Lang")] = TextStringObject("en")
    writer.root_object[NameObject("/ViewerPreferences")] = DictionaryObject(
        {NameObject("/DisplayDocTitle"): BooleanObject(True)}
    )
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def page_of(path: Path, words: str) -> int:
    """Return the page, counted from 1, of the entry with these words in a PDF's list of contents; 0 without one."""
    try:
        from pypdf import PdfReader
        from pypdf.errors import PyPdfError
    except ModuleNotFoundError:
        return 0
    if not path.is_file():
        return 0
    try:
        reader = PdfReader(path)
        entries = [entry for entry in reader.outline if not isinstance(entry, list)]
        pages = [reader.get_destination_page_number(entry) for entry in entries if words in str(entry.title)]
    except (PyPdfError, OSError, ValueError):  # not a PDF of ours, or cut off
        return 0
    return pages[0] + 1 if pages and pages[0] is not None else 0


def _weasyprint() -> Any:
    if why := missing():
        raise CourseError(why)
    import weasyprint

    return weasyprint


@lru_cache(maxsize=1)
def _fonts() -> Any:
    from weasyprint.text.fonts import FontConfiguration

    return FontConfiguration()


def _fetch_nothing(url: str, *_: object, **__: object) -> Any:
    """Refuse every address: a page to print holds all it needs."""
    raise ValueError(f"a page to print loads nothing, not even {url[:80]}")
