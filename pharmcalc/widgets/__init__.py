"""What a lesson shows that can be worked with: practice cards, explorers and the pictures below them.

``ipywidgets`` is needed only when a widget is made; the cards' and pictures' own part works without it.
"""

from pharmcalc.widgets.explorers import aliquot_explorer, aliquot_figure, error_band, error_band_figure
from pharmcalc.widgets.practice import PracticeCard, practise
from pharmcalc.widgets.training import train

__all__ = ["PracticeCard", "aliquot_explorer", "aliquot_figure", "error_band", "error_band_figure", "practise", "train"]
