"""The room's HTML pages, made from its own templates on the base page that all rooms share."""

from __future__ import annotations

from pharmcalc.pages import render


def page(template: str, **values: object) -> str:
    """Return a page made from ``templates/<template>.html.j2``: self-contained, with nothing from another host."""
    return render("pharmcalc.classroom", template, **values)


def plain(number: float) -> str:
    """Return marks without needless zeros.

    >>> plain(2.0), plain(1.5), plain(1 / 3)
    ('2', '1.5', '0.33')
    """
    return f"{float(number):.2f}".rstrip("0").rstrip(".")
