"""Tests of the paper for the lab."""
