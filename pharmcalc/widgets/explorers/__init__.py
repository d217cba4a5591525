"""Explorers: a picture that is called plainly first, and then with sliders. One module each.

``..._figure`` returns the still picture; the explorer of the same subject is the same picture with sliders.
"""

from pharmcalc.widgets.explorers.aliquot import aliquot_explorer, aliquot_figure
from pharmcalc.widgets.explorers.band import error_band, error_band_figure

__all__ = ["aliquot_explorer", "aliquot_figure", "error_band", "error_band_figure"]
