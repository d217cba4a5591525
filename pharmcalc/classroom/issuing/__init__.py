"""What students get, by when, and who sits again."""
