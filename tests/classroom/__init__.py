"""Tests of the class loop, through real nbgrader in course folders of their own."""
