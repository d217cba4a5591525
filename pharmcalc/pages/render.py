"""Make pages from templates, with everything escaped unless it is our own markup."""

from functools import cache

from jinja2 import ChoiceLoader, Environment, FileSystemBytecodeCache, PackageLoader, StrictUndefined

from pharmcalc.caution import CAUTION
from pharmcalc.kept import kept_beside
from pharmcalc.language import capital, habits, say

__all__ = ["render"]


@cache
def _templates(room: str) -> Environment:
    folder = kept_beside(__file__)
    environment = Environment(
        loader=ChoiceLoader([PackageLoader(room), PackageLoader("pharmcalc.pages")]),
        bytecode_cache=FileSystemBytecodeCache(str(folder), "%s.template") if folder else None,
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.globals |= {"say": say, "capital": capital}
    return environment


def render(room: str, template: str, **values: object) -> str:
    """Return a page made from ``templates/<template>.html.j2`` of a room; it may extend the base, ``page.html.j2``.

    A name with a dot is another kind of text: ``pdf.css`` is made from ``templates/pdf.css.j2``.

    room: the package that holds the templates, for example ``pharmcalc.sheets``. The page is self-contained: nothing in
    it comes from another host, and it runs no script. Templates say their messages with ``say``, as the library does.
    """
    spoken = {"language": habits().language, "caution": say(CAUTION)}
    name = template if "." in template else f"{template}.html"
    return _templates(room).get_template(f"{name}.j2").render(**spoken | values)
