"""Standard uncertainties: what a limit, a display step or a certificate says, turned into one standard deviation.

A limit with nothing known inside it is a rectangle; one whose middle is likelier is a triangle. The standard
uncertainty is the half width divided by the square root of 3 or of 6.
"""

from pharmcalc.equations import ROOT_OF_SIX, ROOT_OF_THREE, root
from pharmcalc.formula import Measured, formula, mistake_of

__all__ = [
    "combined_uncertainty",
    "expanded_uncertainty",
    "reading_uncertainty",
    "rectangular_uncertainty",
    "standard_from_expanded",
    "triangular_uncertainty",
]


@formula(source="quam-a1 gum", symbol="u")
def rectangular_uncertainty(*, half_width: Measured) -> Measured:
    """Return the standard uncertainty of a limit of which nothing more is known (a rectangle).

    Formula: half width ÷ square root of 3.

    half_width: the limit ± a, above zero, a mass, a volume or a percentage. Returns the same kind of amount.
    Raises RefusedError for a bare number, zero or a negative value.

    >>> print(rectangular_uncertainty.kind.show(rectangular_uncertainty(half_width="0.01 %")))
    about 0.005774 %

    Source: EURACHEM/CITAC QUAM, example A1; GUM 4.3.7.
    """
    return half_width / ROOT_OF_THREE


@mistake_of(rectangular_uncertainty, id="limit-as-standard-uncertainty")
def limit_itself(*, half_width: Measured) -> Measured:
    """The limit itself was taken as the standard uncertainty.

    The limit is the most it can be; a standard uncertainty is smaller: divide a rectangle by the square root of 3.
    """
    return half_width


@mistake_of(rectangular_uncertainty, id="rectangle-divided-by-two")
def limit_halved(*, half_width: Measured) -> Measured:
    """The limit was divided by 2, as if it were an expanded uncertainty.

    A limit is not a confidence interval: divide a rectangle by the square root of 3.
    """
    return half_width / 2


@formula(source="quam-a1 gum", symbol="u")
def triangular_uncertainty(*, half_width: Measured) -> Measured:
    """Return the standard uncertainty of a limit whose middle is likelier than its ends (a triangle).

    Formula: half width ÷ square root of 6.

    half_width: the limit ± a, above zero, a mass, a volume or a percentage. Returns the same kind of amount.
    Raises RefusedError for a bare number, zero or a negative value.

    >>> print(triangular_uncertainty.kind.show(triangular_uncertainty(half_width="0.1 mL")))
    about 0.04082 mL

    Source: EURACHEM/CITAC QUAM, example A1 (0.0408 mL); GUM 4.3.9.
    """
    return half_width / ROOT_OF_SIX


@mistake_of(triangular_uncertainty, id="triangle-as-rectangle")
def triangle_as_rectangle(*, half_width: Measured) -> Measured:
    """The limit was divided by the square root of 3.

    That is the rectangle. A triangle, whose middle is likelier, is divided by the square root of 6.
    """
    return half_width / ROOT_OF_THREE


@formula(source="gum", symbol="u")
def reading_uncertainty(*, display_step: Measured) -> Measured:
    """Return the standard uncertainty of one reading of a display that shows steps of d.

    Formula: display step ÷ (2 × square root of 3): the true value lies anywhere within half a step.

    display_step: d, above zero. Returns the same kind of amount.
    Raises RefusedError for a bare number, zero or a negative value.

    >>> print(reading_uncertainty.kind.show(reading_uncertainty(display_step="1 mg")))
    about 0.2887 mg

    Source: GUM F.2.2.1.
    """
    return display_step / 2 / ROOT_OF_THREE


@mistake_of(reading_uncertainty, id="whole-step-as-half-width")
def whole_step(*, display_step: Measured) -> Measured:
    """The whole step was taken as the half width.

    The display rounds to the nearest step, so it is off by at most half a step either way.
    """
    return display_step / ROOT_OF_THREE


@mistake_of(reading_uncertainty, id="half-step-as-standard-uncertainty")
def half_step_itself(*, display_step: Measured) -> Measured:
    """Half a step was taken as the standard uncertainty.

    Half a step is the most that rounding can be off. The standard uncertainty is smaller: divide it by the square root
    of 3.
    """
    return display_step / 2


@formula(source="gum", symbol="U")
def expanded_uncertainty(*, standard_uncertainty: Measured) -> Measured:
    """Return the expanded uncertainty with k = 2, which covers about 95 %.

    Formula: standard uncertainty × 2.

    standard_uncertainty: above zero. Returns the same kind of amount.
    Raises RefusedError for a bare number, zero or a negative value.

    >>> print(expanded_uncertainty.kind.show(expanded_uncertainty(standard_uncertainty="0.05 mg")))
    0.1 mg

    Source: GUM 6.2.
    """
    return standard_uncertainty * 2


@mistake_of(expanded_uncertainty, id="expanded-factor-left-out")
def factor_left_out(*, standard_uncertainty: Measured) -> Measured:
    """The standard uncertainty was given as the expanded one.

    One standard uncertainty covers about two results in three. With k = 2 it is doubled, which covers about 95 %.
    """
    return standard_uncertainty


@mistake_of(expanded_uncertainty, id="expanded-halved")
def halved(*, standard_uncertainty: Measured) -> Measured:
    """The standard uncertainty was halved.

    The expanded uncertainty is the wider one, so it is doubled. Halving leads back from a certificate.
    """
    return standard_uncertainty / 2


@formula(source="gum", symbol="u")
def standard_from_expanded(*, expanded: Measured) -> Measured:
    """Return the standard uncertainty that a certificate's expanded uncertainty (k = 2) stands for.

    Formula: expanded uncertainty ÷ 2; the inverse of :func:`expanded_uncertainty`.

    expanded: above zero, stated with k = 2. Returns the same kind of amount.
    Raises RefusedError for a bare number, zero or a negative value.

    >>> print(standard_from_expanded.kind.show(standard_from_expanded(expanded="0.1 mg")))
    0.05 mg

    Source: GUM 4.3.3.
    """
    return expanded / 2


@mistake_of(standard_from_expanded, id="expanded-as-standard")
def expanded_itself(*, expanded: Measured) -> Measured:
    """The expanded uncertainty was taken as the standard uncertainty.

    A certificate states U = 2 u: halve it before you combine it.
    """
    return expanded


@formula(source="gum quam-a1", symbol="u")
def combined_uncertainty(*, first: Measured, second: Measured) -> Measured:
    """Return the standard uncertainty of a sum or a difference of two amounts.

    Formula: square root of (first² + second²), for standard uncertainties that have nothing to do with each other.

    first, second: standard uncertainties of the same kind, above zero. Returns the same kind of amount.
    Raises RefusedError for a bare number, different kinds, zero or a negative value.

    >>> print(combined_uncertainty.kind.show(combined_uncertainty(first="3 mg", second="4 mg")))
    5 mg

    Source: GUM 5.1.2; EURACHEM/CITAC QUAM, example A1 (0.0665 mL).
    """
    return root(first * first + second * second)


@mistake_of(combined_uncertainty, id="uncertainties-added")
def uncertainties_added(*, first: Measured, second: Measured) -> Measured:
    """The two standard uncertainties were added.

    Two independent errors seldom reach their full size together. Add the squares and take the root.
    """
    return first + second


@mistake_of(combined_uncertainty, id="uncertainties-averaged")
def uncertainties_averaged(*, first: Measured, second: Measured) -> Measured:
    """The mean of the two standard uncertainties was taken.

    Two uncertainties together are never smaller than the larger of them alone. Add the squares and take the root.
    """
    return (first + second) / 2
