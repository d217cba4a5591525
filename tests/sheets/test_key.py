"""The instructor's key: right answers with their working, and the rules for every other right plan."""

import pytest

from pharmcalc.aliquots import RULES, AliquotPlan
from pharmcalc.marking import SHARE, mark_task
from pharmcalc.sheets import instructor_key
from pharmcalc.sheets.key import rules_in_force
from pharmcalc.tasks.family import typed_families
from pharmcalc.units import quantity
from tests.sheets.building import CLASS, articles, issue, parsed, plain, rows_of, rules_with, text_of


def test_the_answers_of_the_key_earn_full_marks() -> None:
    """Whatever a key prints as the answers is marked right, for every kind of task and every student."""
    class_of_all = issue(family.id for family in typed_families())  # the bench has no key
    for student, article in zip(CLASS, articles(instructor_key(class_of_all, CLASS)), strict=True):
        for task, table in zip(
            class_of_all.paper(student.number).tasks, article.find_all("table", "solved"), strict=True
        ):
            typed = "\n".join(f"{row[0]} = {row[1]}" for row in rows_of(table))
            mark = mark_task(task, typed)
            assert (mark.marks, mark.cleared) == (task.out_of, True), f"{task.family.id}: {typed}"


def test_the_key_shows_the_full_working_and_its_proof(key: str) -> None:
    """Every step of every working stands in the key of the student whose numbers it has, and so does the proof."""
    for student, article in zip(CLASS, articles(key), strict=True):
        for task, section in zip(issue().paper(student.number).tasks, article.find_all("section", "task"), strict=True):
            shown, working = text_of(section.find("div", "working")), task.working()
            assert all(plain(step.line) in shown and plain(step.equation) in shown for step in working.steps)
            assert working.proof
            assert plain(working.proof.line) in shown


def test_every_page_of_a_key_is_marked_as_one(key: str) -> None:
    """The title and the head of every student's part say that this is the key, with the code of the paper."""
    title = parsed(key).title
    assert title
    assert text_of(title).startswith("Key, for the instructor only")
    for student, article in zip(CLASS, articles(key), strict=True):
        assert text_of(article.header.find("strong", "mark")) == "Key"
        assert text_of(article.header.find("p", "code")) == f"Paper {issue().paper(student.number).code}"


def test_a_key_is_found_by_the_code_of_the_paper(key: str) -> None:
    """A list of all codes, in alphabetical order, leads to each student's key."""
    links = parsed(key).select("nav a")
    codes = [text_of(link).split(":")[0] for link in links]
    assert codes == sorted(issue().paper(student.number).code for student in CLASS)
    for link in links:
        found = parsed(key).find(id=str(link["href"]).removeprefix("#"))
        assert found
        assert text_of(link).split(":")[0] in text_of(found.header)


def test_targets_have_their_allowed_range(key: str) -> None:
    """Each weighing of the smallest plan has the readings that are near enough; what is not weighed has none."""
    table = parsed(key).find_all("table", "solved")[4]
    ranges = {row[0]: (row[1], row[3]) for row in rows_of(table)}
    for label in ("least weighable quantity", "multiple factor", "total mixture"):
        assert ranges[label][1] == "not weighed"
    for label in ("drug to weigh", "diluent to weigh", "aliquot"):
        target = int(ranges[label][0].removesuffix(" mg"))
        lowest, highest = -(-target * 95 // 100), target * 105 // 100
        assert ranges[label][1] == f"{lowest} mg to {highest} mg"


def test_a_plan_has_its_rules_beside_it(key: str) -> None:
    """The smallest plan is called that, and each rule by which another plan is accepted stands below it."""
    section = articles(key)[0].find_all("section", "task")[4]
    assert "The smallest plan for q5" in text_of(section)
    task = issue().paper("A-01").task("q5")
    assert [text_of(item) for item in section.select(".plan-rules li")] == rules_in_force(task)
    assert f"Here it is {task.shown('least_weighable_quantity')}." in rules_in_force(task)[0]


def test_one_answer_needs_no_rules(key: str) -> None:
    """A task with one right answer prints no rules for others."""
    assert not articles(key)[0].find_all("section", "task")[0].select(".plan-rules")


@pytest.mark.parametrize(
    ("family", "old", "new", "id"),
    [
        ("aliquot-plan", "diluent-checked = true", "diluent-checked = false", "diluent-below-lwq"),
        ("aliquot-plan", 'multiple-factor = "whole"', 'multiple-factor = "any"', "multiple-not-whole"),
        ("aliquot-plan", "", "", "aliquot-above-preparation"),
    ],
)
def test_a_rule_that_is_off_is_not_printed(family: str, old: str, new: str, id: str) -> None:
    """A rule that the house or the task switches off is not in the key, and no plan can break it."""
    task = issue([family], rules=rules_with(old, new)).paper("A-07").task("q1")
    rule = next(rule for rule in RULES if rule.id == id)
    assert task.limits
    assert not any(said.startswith(rule.says) for said in rules_in_force(task))
    huge = AliquotPlan.of(
        drug_wanted=task.values["drug_wanted"], multiple_factor=quantity("100.5"), aliquot=quantity(9, "kg")
    )
    tiny = AliquotPlan(huge.drug_wanted, huge.drug_wanted, quantity("0.5", "mg"), huge.drug_wanted)
    assert not any(rule.broken_by(plan.values(), task.limits) for plan in (huge, tiny))
    strict = issue(["aliquot-batch"]).paper("A-07").task("q1")
    assert any(said.startswith(rule.says) for said in rules_in_force(strict))
    assert strict.limits
    assert any(rule.broken_by(plan.values(), strict.limits) for plan in (huge, tiny))


def test_the_key_says_what_earns_half(key: str) -> None:
    """What earns half the marks is told in the words of the marking itself."""
    says = plain(parsed(key).get_text(" "))
    half = [status.value for status, share in SHARE.items() if share * 2 == 1]
    assert half
    assert f"Half the marks: {'; '.join(half)}." in says
