"""Paper: printing it for a class, finding a paper again by its code, typing in what students wrote on it."""
