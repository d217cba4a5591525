"""Which lesson of the course teaches what a task is about."""

from __future__ import annotations

from pharmcalc.tasks.family import family_called

__all__ = ["BY_FAMILY", "BY_SUBJECT", "LESSONS", "lesson_for"]

LESSONS = {
    1: "Units, prefixes, rounding",
    2: "The balance and its bench routine",
    3: "The least weighable quantity",
    4: "Percentage and ratio strength",
    5: "Solid aliquots",
    6: "Liquid aliquots and measuring",
    7: "Serial aliquots, and choosing a plan",
    8: "Dilution and alligation",
    9: "Recipes, potency, hydrates, capsules",
    10: "How sure are you? Uncertainty",
    11: "From order to signature",
}
"""The lessons by number, titled as in ``notebooks/``."""

BY_SUBJECT = {
    "aliquots": 5,
    "balances": 3,
    "bench": 2,
    "decisions": 7,
    "dilutions": 8,
    "estimates": 1,
    "liquid aliquots": 6,
    "old units": 1,
    "orders": 11,
    "potency": 9,
    "recipes": 9,
    "second check": 7,
    "serial aliquots": 7,
    "strengths": 4,
    "uncertainty": 10,
    "units": 1,
    "volumes": 6,
}
BY_FAMILY = {"bench-batch": 11, "reading-on-display": 2, "stop-and-ask": 11}
"""Where a kind of task is taught in another lesson than its subject."""


def lesson_for(family: str) -> str:
    """Return the lesson for a kind of task by its number and title; nothing where no lesson is known.

    >>> lesson_for("aliquot-plan")
    'Lesson 5: Solid aliquots'
    """
    number = BY_FAMILY.get(family) or BY_SUBJECT.get(family_called(family).subject) if family else None
    return f"Lesson {number}: {LESSONS[number]}" if number else ""
