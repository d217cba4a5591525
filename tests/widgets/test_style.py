"""The look: enough contrast for everybody, in light and in dark, and no unit left alone on a line."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.widgets.style import css, dressed, style_tag, unbroken

PALETTES = re.findall(r"\.pc \{([^}]*--pc-paper[^}]*)\}", css())
LIGHT, DARK = (dict(re.findall(r"--pc-(\w+): (#\w{6})", block)) for block in PALETTES)
TEXT, SHAPE = 4.5, 3.0  # WCAG 2.2 AA: 1.4.3 for text, 1.4.11 for what is drawn


def luminance(colour: str) -> float:
    """Return the relative luminance of a colour, as WCAG defines it."""
    parts = [int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, from 1 to 21."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_contrast_is_measured_as_the_standard_says() -> None:
    """Black on white is 21; the grey #767676 on white is the well-known 4.54."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


def test_both_themes_name_the_same_colours() -> None:
    """A colour that is forgotten in the dark would keep its light value."""
    assert LIGHT.keys() == DARK.keys()
    assert len(LIGHT) >= 10


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("words", ["ink", "soft", "good", "bad", "link"])
@pytest.mark.parametrize("ground", ["paper", "sheet"])
def test_words_can_be_read(palette: dict[str, str], words: str, ground: str) -> None:
    """Every colour of words stands out from every ground that words lie on."""
    assert contrast(palette[words], palette[ground]) >= TEXT


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_words_on_a_mixture_can_be_read(palette: dict[str, str]) -> None:
    """In a picture, words may lie over the diluent."""
    assert set(re.findall(r"text[.\w]* \{ fill: var\(--pc-(\w+)", css())) == {"ink", "soft"}
    assert contrast(palette["ink"], palette["diluent"]) >= TEXT
    assert contrast(palette["soft"], palette["diluent"]) >= TEXT


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("shape", ["edge", "band", "drug", "margin", "link", "ink"])
def test_shapes_can_be_seen(palette: dict[str, str], shape: str) -> None:
    """Edges of controls, focus rings and the parts of a picture stand out from the paper."""
    assert contrast(palette[shape], palette["paper"]) >= SHAPE
    assert contrast(palette[shape], palette["sheet"]) >= SHAPE


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_the_drug_stands_out_from_its_diluent(palette: dict[str, str]) -> None:
    """The two lie side by side in the picture of a mixture."""
    assert contrast(palette["drug"], palette["diluent"]) >= SHAPE


def test_every_class_name_is_our_own_or_stands_below_our_paper() -> None:
    """Nothing outside our outputs changes its looks."""
    plain = re.sub(r"@keyframes pc-[\w-]+ \{(?:[^{}]*\{[^{}]*\})*\s*\}", "", css())  # named by us, with no selector
    plain = re.sub(r"@media \([^)]*\) \{", "", plain)
    selectors = [part.strip() for rule in re.findall(r"([^{}]+)\{", plain) for part in re.split(r",(?![^(]*\))", rule)]
    assert len(selectors) > 50
    assert [one for one in selectors if ".pc" not in one] == []


def test_an_output_carries_its_style() -> None:
    """A notebook may put the set-up cell out of sight, with the style in it."""
    assert dressed("<p>x</p>") == f'<div class="pc">{style_tag()}<p>x</p></div>'


def test_the_style_asks_no_other_host_for_anything() -> None:
    """No font and no picture is fetched."""
    assert "url(" not in css()
    assert "@import" not in css()


@given(st.text())
def test_only_spaces_change_when_units_are_kept_on_the_line(html: str) -> None:
    """The words stay as they are."""
    assert unbroken(html).replace("\u00a0", " ") == html.replace("\u00a0", " ")
