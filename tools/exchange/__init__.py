"""`make exchange`: nbgrader's exchange, tried with system users of their own."""
