"""From what was handed in to marks in the gradebook and pages for students."""
