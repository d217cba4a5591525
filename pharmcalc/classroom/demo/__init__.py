"""An invented class that hands in as classes do."""
