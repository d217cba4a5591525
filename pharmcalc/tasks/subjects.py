"""In which module each kind of task is written, in the order of the contents. A new one gets its name here.

A module is loaded when one of its families is first asked for: an assignment asks for eight of some seventy.
"""

__all__ = ["MODULE_OF"]

_FAMILIES_IN = {
    "aliquots": "aliquot-plan aliquot-batch",
    "batches": "units-for-loss capsule-filler mould-base crushed-tablets",
    "deciding": "decide-first stop-and-ask",
    "bench_orders": "bench-weighing bench-batch bench-doubtful",
    "checking": "second-check",
    "conversions": "percentage-from-density percentage-by-weight-from-density mass-of-volume volume-of-mass "
    "dose-from-label solubility-one-in",
    "dilutions": "dilution-strength stock-for-dilution diluent-to-add stock-strength evaporation order-ointment",
    "estimating": "estimate-drug estimate-batch estimate-mixture",
    "liquids": "liquid-concentration liquid-dose liquid-aliquot-plan order-liquid",
    "metric": "metric-mass metric-volume",
    "mixing": "fortify-ointment fortify-total alligation-alternate alligation-medial two-step-trituration",
    "old_units": "old-grains old-fluid-ounces old-recipe",
    "own_orders": "own-order-units own-order-ww own-order-wv",
    "potency": "salt-form hydrate-to-weigh powder-for-purity powder-on-dried-basis",
    "powder_orders": "order-divided-powders order-capsules-salt",
    "recipes": "reduce-recipe recipe-in-parts each-of-three",
    "serial": "serial-multiple",
    "strengths": "percentage-ww percentage-wv drug-for-strength ratio-strength ratio-of-trituration "
    "drug-in-trituration strength-in-other-words",
    "uncertainty": "reading-on-display resolution-uncertainty combined-uncertainty",
    "volumes": "measuring-error least-measurable-volume cylinder-reading-error",
    "weighing": "percentage-of-error error-found least-weighable-quantity sensitivity-requirement minimum-weight",
}

MODULE_OF = {
    family: f"pharmcalc.tasks.{module}" for module, families in _FAMILIES_IN.items() for family in families.split()
}
"""The module of each family, by the family's id."""
