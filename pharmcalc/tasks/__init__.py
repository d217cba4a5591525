"""Questions: task families that draw numbers, papers for students, and the house rules they are asked under."""
