"""Explorers: a picture that is called plainly first, and then with sliders. One module each.

``..._figure`` returns the still picture; the explorer of the same subject is the same picture with sliders.
"""

from pharmcalc.widgets.explorers.aliquot import aliquot_explorer, aliquot_figure
from pharmcalc.widgets.explorers.band import error_band, error_band_figure
from pharmcalc.widgets.explorers.beam import alligation_beam, alligation_beam_figure
from pharmcalc.widgets.explorers.chain import order_chain, order_chain_figure
from pharmcalc.widgets.explorers.cloud import dose_cloud, dose_cloud_figure
from pharmcalc.widgets.explorers.ladder import unit_ladder, unit_ladder_figure
from pharmcalc.widgets.explorers.plans import plan_chooser, plan_chooser_figure
from pharmcalc.widgets.explorers.powder import powder_explorer, powder_figure
from pharmcalc.widgets.explorers.reader import read_lines, type_and_see
from pharmcalc.widgets.explorers.readings import readings, readings_figure
from pharmcalc.widgets.explorers.strength import strength_parts, strength_parts_figure
from pharmcalc.widgets.explorers.vessels import measuring_vessels, measuring_vessels_figure

__all__ = [
    "aliquot_explorer",
    "aliquot_figure",
    "alligation_beam",
    "alligation_beam_figure",
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
    "read_lines",
    "readings",
    "readings_figure",
    "strength_parts",
    "strength_parts_figure",
    "type_and_see",
    "unit_ladder",
    "unit_ladder_figure",
]
