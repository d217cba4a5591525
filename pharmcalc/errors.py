"""Everything this library raises says what was read, what is wrong and what to do."""

__all__ = ["CourseError", "PharmcalcError", "ReadingError", "RefusedError"]


class PharmcalcError(ValueError):
    """The family of all errors raised on purpose; ``str(error)`` is one plain message."""


class ReadingError(PharmcalcError):
    """A text could not be read as a quantity."""

    def __init__(self, text: str, problem: str, cure: str) -> None:
        shown = text if len(text) <= 60 else text[:57] + "..."
        self.text, self.problem, self.cure = text, problem, cure
        super().__init__(f'"{shown}": {problem} {cure}'.strip())


class RefusedError(PharmcalcError):
    """A value breaks a rule of the mathematics or of the house."""

    def __init__(self, where: str, problem: str, cure: str) -> None:
        self.where, self.problem, self.cure = where, problem, cure
        super().__init__(f"{where}: {problem} {cure}".strip())


class CourseError(PharmcalcError):
    """Something in the course folder, the class list or a hand-in needs an instructor."""
