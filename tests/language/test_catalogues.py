"""The catalogues: every message is there, in every language, with the same places for its parts."""

import re

import pytest

from pharmcalc.language import ENGLISH, LANGUAGES, Habits, using
from pharmcalc.tasks.family import FAMILIES
from tools import messages

OTHERS = sorted(set(LANGUAGES) - {ENGLISH})


def test_the_template_holds_every_message() -> None:
    """The list of messages is what the code, the templates, the formulas, the tasks and the assignments say today."""
    assert messages.TEMPLATE.read_bytes() == messages.template_bytes(messages.collected()), "type: make messages"


@pytest.mark.parametrize("language", OTHERS)
def test_a_language_is_complete(language: str) -> None:
    """No message of a language is missing or guessed, and none is left over from an older course."""
    catalogue = messages.translated(language)
    assert messages.missing(catalogue) == []
    assert {str(one.id) for one in catalogue} == {str(one.id) for one in messages.collected()}


@pytest.mark.parametrize("language", OTHERS)
def test_what_the_program_reads_is_what_people_wrote(language: str) -> None:
    """The compiled catalogue is made of the one that translators edit."""
    assert messages.mo_file(language).read_bytes() == messages.compiled(messages.translated(language))


@pytest.mark.parametrize("language", OTHERS)
def test_a_translation_has_room_for_the_same_parts(language: str) -> None:
    """Parts, things to type, magic lines, and the spaces at both ends are those of the English message."""
    for one in messages.translated(language):
        if not one.id:
            continue  # the head of the file
        english, other = str(one.id), str(one.string)
        for what in (r"\{[^{}]*\}", r"%%\w+", r"`"):
            assert sorted(re.findall(what, english)) == sorted(re.findall(what, other)), english
        for end in (r"^\s*", r"\s*$"):
            assert re.findall(end, english)[0] == re.findall(end, other)[0], english


@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("family", sorted(FAMILIES))
def test_the_labels_of_a_task_differ(language: str, family: str) -> None:
    """No two answers of a task share a label, and no two options of a decision a wording, in any language."""
    with using(Habits(language)):
        labels = [asked.said.casefold() for asked in FAMILIES[family].asked]
        assert len(set(labels)) == len(labels)
        assert not [label for label in labels if "=" in label]
        for asked in FAMILIES[family].asked:
            options = [option.said.casefold() for option in getattr(asked, "options", ())]
            assert len(set(options)) == len(options)


def test_parts_have_names_that_are_said_aloud() -> None:
    """Whoever translates sees only the message: each part is a plain word, not a name from the code."""
    names = {name for one in messages.collected() if one.id for name in re.findall(r"\{([^{}!:]*)", str(one.id))}
    assert sorted(name for name in names if not re.fullmatch(r"[a-z][a-z_]*|", name) or name == "part") == []
