"""Tests of the base page that all HTML pages share."""
