"""The simulated bench: its physics, its actions, its record, and what an inspector finds in it."""
