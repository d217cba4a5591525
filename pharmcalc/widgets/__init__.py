"""What a lesson shows that can be worked with: practice cards, explorers and the pictures below them.

``ipywidgets`` is needed only when a widget is made; the cards' and pictures' own part works without it.
"""

from pharmcalc.widgets.bench import BenchCard, bench
from pharmcalc.widgets.explorers import (
    aliquot_explorer,
    aliquot_figure,
    alligation_beam,
    alligation_beam_figure,
    dose_cloud,
    dose_cloud_figure,
    error_band,
    error_band_figure,
    measuring_vessels,
    measuring_vessels_figure,
    order_chain,
    order_chain_figure,
    plan_chooser,
    plan_chooser_figure,
    powder_explorer,
    powder_figure,
    read_lines,
    readings,
    readings_figure,
    strength_parts,
    strength_parts_figure,
    type_and_see,
    unit_ladder,
    unit_ladder_figure,
)
from pharmcalc.widgets.practice import PracticeCard, practise
from pharmcalc.widgets.training import train

__all__ = [
    "BenchCard",
    "PracticeCard",
    "aliquot_explorer",
    "aliquot_figure",
    "alligation_beam",
    "alligation_beam_figure",
    "bench",
    "dose_cloud",
    "dose_cloud_figure",
    "error_band",
    "error_band_figure",
    "measuring_vessels",
    "measuring_vessels_figure",
    "order_chain",
    "order_chain_figure",
    "plan_chooser",
    "plan_chooser_figure",
    "powder_explorer",
    "powder_figure",
    "practise",
    "read_lines",
    "readings",
    "readings_figure",
    "strength_parts",
    "strength_parts_figure",
    "train",
    "type_and_see",
    "unit_ladder",
    "unit_ladder_figure",
]
