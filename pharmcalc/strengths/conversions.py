"""The same strength in other words: mg/mL, mg%, ppm, and from w/w to w/v through the specific gravity."""

from pharmcalc.constants import ONE_GRAM_PER_ML, ONE_PERCENT_WV
from pharmcalc.formula import (
    Concentration,
    Mass,
    MgPercent,
    Number,
    PercentWV,
    PercentWW,
    Ppm,
    Volume,
    formula,
    mistake_of,
)
from pharmcalc.units import quantity

__all__ = [
    "mass_of_volume",
    "milligram_percent",
    "milligrams_per_millilitre",
    "parts_per_million",
    "percentage_from_milligram_percent",
    "percentage_from_milligrams_per_millilitre",
    "percentage_from_parts_per_million",
    "percentage_wv_from_ww",
    "percentage_ww_from_wv",
]

TEN_MG_PER_ML = quantity(10, "milligram / millilitre")
THOUSAND_MG_PERCENT = quantity(1000, "milligram_percent")
TEN_THOUSAND_PPM = quantity(10000, "part_per_million_in_volume")


@formula(source="definition kent-strengths", symbol="mg/mL")
def milligrams_per_millilitre(*, strength: PercentWV) -> Concentration:
    """Return a percentage w/v in milligrams per millilitre.

    Formula: strength ÷ 1 % w/v × 10 mg/mL.

    strength: a percentage w/v, above zero. Returns mg/mL. Raises RefusedError for a bare number, another kind of
    amount, zero or a negative value.

    >>> print(milligrams_per_millilitre.kind.show(milligrams_per_millilitre(strength="0.02 % w/v")))
    0.2 mg/mL

    Source: the definition (1 % w/v is 1 g in 100 mL); University of Kent, Converting strengths.
    """
    return strength / ONE_PERCENT_WV * TEN_MG_PER_ML


@mistake_of(milligrams_per_millilitre, id="mg-per-ml-is-percentage")
def percentage_number_as_mg_per_ml(*, strength: PercentWV) -> Concentration:
    """The number of the percentage was taken as milligrams per millilitre.

    1 % w/v is 1 g in 100 mL, which is 10 mg in 1 mL.
    """
    return strength / ONE_PERCENT_WV * TEN_MG_PER_ML / 10


@mistake_of(milligrams_per_millilitre, id="mg-per-ml-hundredfold")
def percentage_times_thousand(*, strength: PercentWV) -> Concentration:
    """The grams in 100 mL were turned into milligrams, but not divided by the 100 mL.

    1 % w/v is 1000 mg in 100 mL, which is 10 mg in 1 mL.
    """
    return strength / ONE_PERCENT_WV * TEN_MG_PER_ML * 100


@formula(source="definition", symbol="%")
def percentage_from_milligrams_per_millilitre(*, concentration: Concentration) -> PercentWV:
    """Return milligrams per millilitre as a percentage w/v; the inverse of :func:`milligrams_per_millilitre`.

    Formula: concentration ÷ 10 mg/mL × 1 % w/v.

    concentration: for example 10 mg/mL, above zero. Returns a percentage w/v. Raises RefusedError for a bare number,
    another kind of amount, zero or a negative value.

    >>> strength = percentage_from_milligrams_per_millilitre(concentration="1 mg/5 mL")
    >>> print(percentage_from_milligrams_per_millilitre.kind.show(strength))
    0.02 % w/v

    Source: the definition.
    """
    return concentration / TEN_MG_PER_ML * ONE_PERCENT_WV


@mistake_of(percentage_from_milligrams_per_millilitre, id="percentage-is-mg-per-ml")
def mg_per_ml_number_as_percentage(*, concentration: Concentration) -> PercentWV:
    """The number of milligrams per millilitre was taken as the percentage.

    10 mg/mL is 1 g in 100 mL: divide by 10.
    """
    return concentration / TEN_MG_PER_ML * ONE_PERCENT_WV * 10


@formula(source="definition", symbol="mg%")
def milligram_percent(*, strength: PercentWV) -> MgPercent:
    """Return a percentage w/v in mg%, milligrams in 100 mL.

    Formula: strength ÷ 1 % w/v × 1000 mg%.

    strength: a percentage w/v, above zero. Returns mg%. Raises RefusedError for a bare number, another kind of amount,
    zero or a negative value.

    >>> print(milligram_percent.kind.show(milligram_percent(strength="0.125 % w/v")))
    125 mg%

    Source: the definition (1 mg% is 1 mg in 100 mL).
    """
    return strength / ONE_PERCENT_WV * THOUSAND_MG_PERCENT


@mistake_of(milligram_percent, id="mg-percent-as-mg-per-ml")
def mg_percent_as_mg_per_ml(*, strength: PercentWV) -> MgPercent:
    """mg% was read as milligrams in 1 mL.

    mg% counts the milligrams in 100 mL.
    """
    return strength / ONE_PERCENT_WV * THOUSAND_MG_PERCENT / 100


@formula(source="definition", symbol="%")
def percentage_from_milligram_percent(*, concentration: MgPercent) -> PercentWV:
    """Return mg% as a percentage w/v; the inverse of :func:`milligram_percent`.

    Formula: concentration ÷ 1000 mg% × 1 % w/v.

    concentration: for example 125 mg%, above zero. Returns a percentage w/v. Raises RefusedError for a bare number,
    another kind of amount, zero or a negative value.

    >>> print(percentage_from_milligram_percent.kind.show(percentage_from_milligram_percent(concentration="125 mg%")))
    0.125 % w/v

    Source: the definition.
    """
    return concentration / THOUSAND_MG_PERCENT * ONE_PERCENT_WV


@mistake_of(percentage_from_milligram_percent, id="mg-percent-in-one-millilitre")
def mg_percent_taken_per_millilitre(*, concentration: MgPercent) -> PercentWV:
    """mg% was read as milligrams in 1 mL.

    mg% counts the milligrams in 100 mL.
    """
    return concentration / THOUSAND_MG_PERCENT * ONE_PERCENT_WV * 100


@formula(source="definition kent-strengths", symbol="ppm")
def parts_per_million(*, strength: PercentWV) -> Ppm:
    """Return a percentage w/v in parts per million w/v: grams in 1 000 000 mL, or micrograms in 1 mL.

    Formula: strength ÷ 1 % w/v × 10 000 ppm.

    strength: a percentage w/v, above zero. Returns ppm. Raises RefusedError for a bare number, another kind of amount,
    zero or a negative value.

    >>> print(parts_per_million.kind.show(parts_per_million(strength="0.004 % w/v")))
    40 ppm

    Source: the definition; University of Kent, Converting strengths.
    """
    return strength / ONE_PERCENT_WV * TEN_THOUSAND_PPM


@mistake_of(parts_per_million, id="ppm-tenfold")
def thousand_for_ten_thousand(*, strength: PercentWV) -> Ppm:
    """The percentage was multiplied by 1000.

    A million is ten thousand hundreds: 1 % is 10 000 ppm.
    """
    return strength / ONE_PERCENT_WV * TEN_THOUSAND_PPM / 10


@mistake_of(parts_per_million, id="ppm-per-hundred-forgotten")
def million_without_hundred(*, strength: PercentWV) -> Ppm:
    """The number of the percentage was multiplied by a million.

    The percentage already counts in hundreds: 1 % is 10 000 ppm.
    """
    return strength / ONE_PERCENT_WV * TEN_THOUSAND_PPM * 100


@formula(source="definition", symbol="%")
def percentage_from_parts_per_million(*, concentration: Ppm) -> PercentWV:
    """Return parts per million w/v as a percentage w/v; the inverse of :func:`parts_per_million`.

    Formula: concentration ÷ 10 000 ppm × 1 % w/v.

    concentration: for example 40 ppm, above zero. Returns a percentage w/v. Raises RefusedError for a bare number,
    another kind of amount, zero or a negative value.

    >>> strength = percentage_from_parts_per_million(concentration="40 ppm w/v")
    >>> print(percentage_from_parts_per_million.kind.show(strength))
    0.004 % w/v

    Source: the definition.
    """
    return concentration / TEN_THOUSAND_PPM * ONE_PERCENT_WV


@mistake_of(percentage_from_parts_per_million, id="percentage-from-ppm-tenfold")
def million_as_thousand_percent(*, concentration: Ppm) -> PercentWV:
    """The ppm were divided by 1000.

    10 000 ppm is 1 %.
    """
    return concentration / TEN_THOUSAND_PPM * ONE_PERCENT_WV * 10


@formula(source="definition", symbol="m")
def mass_of_volume(*, volume: Volume, specific_gravity: Number) -> Mass:
    """Return the mass of a volume of liquid from its specific gravity, with 1 mL of water as 1 g.

    Formula: volume × specific gravity × 1 g/mL.

    volume: above zero. specific_gravity: a plain number above zero, for example 0.88. Returns a mass.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative value.

    >>> print(mass_of_volume.kind.show(mass_of_volume(volume="18 mL", specific_gravity="0.88")))
    15.84 g

    Source: the definition.
    """
    return volume * specific_gravity * ONE_GRAM_PER_ML


@mistake_of(mass_of_volume, id="volume-divided-by-specific-gravity")
def volume_over_specific_gravity(*, volume: Volume, specific_gravity: Number) -> Mass:
    """The volume was divided by the specific gravity instead of multiplied by it.

    1 mL of a liquid weighs as many grams as its specific gravity says, so multiply.
    """
    return volume / specific_gravity * ONE_GRAM_PER_ML


@formula(source="definition", symbol="% w/v")
def percentage_wv_from_ww(*, strength: PercentWW, specific_gravity: Number) -> PercentWV:
    """Return a percentage w/w as a percentage w/v, through the specific gravity of the preparation.

    Formula: strength w/w × specific gravity × 1 g/mL.

    strength: a percentage w/w, above zero and at most 100 %. specific_gravity: of the whole preparation, for example
    1.2, above zero. Returns a percentage w/v. Raises RefusedError for a bare number, another kind of amount, zero or a
    negative value.

    >>> print(percentage_wv_from_ww.kind.show(percentage_wv_from_ww(strength="10 % w/w", specific_gravity="1.2")))
    12 % w/v

    Source: the definition.
    """
    return strength * specific_gravity * ONE_GRAM_PER_ML


@mistake_of(percentage_wv_from_ww, id="wv-specific-gravity-left-out")
def specific_gravity_left_out(*, strength: PercentWW) -> PercentWV:
    """The specific gravity was left out.

    100 mL of the preparation do not weigh 100 g unless its specific gravity is 1.
    """
    return strength * ONE_GRAM_PER_ML


@mistake_of(percentage_wv_from_ww, id="wv-divided-by-specific-gravity")
def by_weight_over_specific_gravity(*, strength: PercentWW, specific_gravity: Number) -> PercentWV:
    """The strength was divided by the specific gravity instead of multiplied by it.

    100 mL of a liquid denser than water weigh more than 100 g, so there is more drug in 100 mL than in 100 g.
    """
    return strength / specific_gravity * ONE_GRAM_PER_ML


@formula(source="definition", symbol="% w/w")
def percentage_ww_from_wv(*, strength: PercentWV, specific_gravity: Number) -> PercentWW:
    """Return a percentage w/v as a percentage w/w; the inverse of :func:`percentage_wv_from_ww`.

    Formula: strength w/v ÷ (specific gravity × 1 g/mL).

    strength: a percentage w/v, above zero. specific_gravity: of the whole preparation, above zero. Returns a percentage
    w/w. Raises RefusedError for a bare number, another kind of amount, zero or a negative value.

    >>> print(percentage_ww_from_wv.kind.show(percentage_ww_from_wv(strength="12 % w/v", specific_gravity="1.2")))
    10 % w/w

    Source: the definition.
    """
    return strength / (specific_gravity * ONE_GRAM_PER_ML)


@mistake_of(percentage_ww_from_wv, id="ww-times-specific-gravity")
def strength_times_specific_gravity(*, strength: PercentWV, specific_gravity: Number) -> PercentWW:
    """The strength was multiplied by the specific gravity instead of divided by it.

    100 mL of a liquid denser than water weigh more than 100 g, so there is less drug in 100 g than in 100 mL.
    """
    return strength * specific_gravity / ONE_GRAM_PER_ML


@mistake_of(percentage_ww_from_wv, id="ww-specific-gravity-left-out")
def number_taken_over(*, strength: PercentWV) -> PercentWW:
    """The specific gravity was left out.

    100 mL of the preparation do not weigh 100 g unless its specific gravity is 1.
    """
    return strength / ONE_GRAM_PER_ML
