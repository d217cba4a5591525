"""What students hand in: whose it is, which of several counts, and nothing hostile gets further."""
