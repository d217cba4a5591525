"""Every subject that tasks are about: importing this registers all families. A new subject gets its line here."""

import pharmcalc.tasks.aliquots
import pharmcalc.tasks.batches
import pharmcalc.tasks.bench_orders
import pharmcalc.tasks.checking
import pharmcalc.tasks.conversions
import pharmcalc.tasks.deciding
import pharmcalc.tasks.dilutions
import pharmcalc.tasks.estimating
import pharmcalc.tasks.liquids
import pharmcalc.tasks.metric
import pharmcalc.tasks.mixing
import pharmcalc.tasks.old_units
import pharmcalc.tasks.own_orders
import pharmcalc.tasks.potency
import pharmcalc.tasks.powder_orders
import pharmcalc.tasks.recipes
import pharmcalc.tasks.serial
import pharmcalc.tasks.strengths
import pharmcalc.tasks.uncertainty
import pharmcalc.tasks.volumes
import pharmcalc.tasks.weighing  # noqa: F401
