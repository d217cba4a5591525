"""Tests of the browser edition: a folder of files, in a browser that reaches nothing but this machine."""
