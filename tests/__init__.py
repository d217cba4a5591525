"""The tests; below this folder they mirror pharmcalc/."""
