"""The aliquot method: its equations, solid, liquid and serial plans, their rules, conventions and remedies."""

from pharmcalc.aliquots.conventions import CONVENTIONS, plan_by_convention
from pharmcalc.aliquots.formulas import (
    diluent,
    diluent_to_finish,
    drug_delivered,
    drug_wanted,
    drug_weighed,
    multiple_factor,
    smallest_aliquot,
    total_mixture,
)
from pharmcalc.aliquots.liquid_plan import LIQUID_RULES, LiquidLimits, LiquidPlan, smallest_liquid_plan
from pharmcalc.aliquots.liquids import (
    concentration_made,
    drug_in_aliquot,
    smallest_aliquot_volume,
    solution_volume,
    vehicle_to_finish,
)
from pharmcalc.aliquots.plan import RULES, AliquotPlan, Limits, Rule, smallest_plan
from pharmcalc.aliquots.planner import ORDERS, PlanSearch, search_plans
from pharmcalc.aliquots.remedies import Remedy, remedies
from pharmcalc.aliquots.serial import (
    SerialPlan,
    combined_multiple,
    drug_after_two_steps,
    second_multiple,
    smallest_serial_plan,
)
from pharmcalc.aliquots.volume_plan import VolumePlan, volume_plans

__all__ = [
    "CONVENTIONS",
    "LIQUID_RULES",
    "ORDERS",
    "RULES",
    "AliquotPlan",
    "Limits",
    "LiquidLimits",
    "LiquidPlan",
    "PlanSearch",
    "Remedy",
    "Rule",
    "SerialPlan",
    "VolumePlan",
    "combined_multiple",
    "concentration_made",
    "diluent",
    "diluent_to_finish",
    "drug_after_two_steps",
    "drug_delivered",
    "drug_in_aliquot",
    "drug_wanted",
    "drug_weighed",
    "multiple_factor",
    "plan_by_convention",
    "remedies",
    "search_plans",
    "second_multiple",
    "smallest_aliquot",
    "smallest_aliquot_volume",
    "smallest_liquid_plan",
    "smallest_plan",
    "smallest_serial_plan",
    "solution_volume",
    "total_mixture",
    "vehicle_to_finish",
    "volume_plans",
]
