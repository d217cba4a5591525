"""Tests of the languages and habits."""
