"""Explorers: a picture that is called plainly first, and then with sliders. One module each.

``..._figure`` returns the still picture; the explorer of the same subject is the same picture with sliders.
"""

from pharmcalc.widgets.explorers.aliquot import aliquot_explorer, aliquot_figure
from pharmcalc.widgets.explorers.band import error_band, error_band_figure
from pharmcalc.widgets.explorers.chain import order_chain, order_chain_figure
from pharmcalc.widgets.explorers.cloud import dose_cloud, dose_cloud_figure
from pharmcalc.widgets.explorers.powder import powder_explorer, powder_figure
from pharmcalc.widgets.explorers.readings import readings, readings_figure

__all__ = [
    "aliquot_explorer",
    "aliquot_figure",
    "dose_cloud",
    "dose_cloud_figure",
    "error_band",
    "error_band_figure",
    "order_chain",
    "order_chain_figure",
    "powder_explorer",
    "powder_figure",
    "readings",
    "readings_figure",
]
