"""The desk in a notebook: its drawers, what they are made of, and the notebook's door."""
