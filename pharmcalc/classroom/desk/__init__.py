"""The instructor's desk: each thing an instructor does, done and told in a few lines.

The command line (``pharmcalc/__main__.py``) and the notebook (``drawers/``) only take what was typed or clicked, call
these, and show what is told through their ``door``.

Import the modules by name; this page imports none, so that a command loads what it needs and no more.
"""
