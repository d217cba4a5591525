"""The assignment in a notebook, from texts to IPython."""
