"""The class after marking: picture, report, sheets, scripts to check the marker by, marks changed by hand."""
