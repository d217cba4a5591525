"""House rules: one small file that an instructor edits, read strictly and refused in words."""

import pytest

from pharmcalc.aliquots.conventions import CONVENTIONS
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import MASS
from pharmcalc.marking import mark_task
from pharmcalc.tasks.family import family_called
from pharmcalc.tasks.house import default_house_rules_text, read_house_rules
from pharmcalc.units import quantity
from tests.questions import house, plan_task

GOOD = default_house_rules_text()


def changed(old: str, new: str) -> str:
    """Return the course's file with one piece replaced."""
    assert old in GOOD
    return GOOD.replace(old, new, 1)


# What they say -------------------------------------------------------------------------------------------------------


def test_the_rules_that_come_with_the_course() -> None:
    """5 %, whole multiples, diluent checked, half up, two extra units, three balances."""
    rules = read_house_rules()
    assert rules.allowed_error == quantity(5, "percent")
    assert (rules.whole_multiple, rules.diluent_checked) == (True, True)
    assert (rules.rounding, rules.extra_units) == ("half up", 2)
    assert [MASS.show(one.least_weighable(rules.allowed_error)) for one in rules.balances] == [
        "120 mg",
        "80 mg",
        "100 mg",
    ]


@pytest.mark.parametrize("text", [None, "", " \n "])
def test_without_a_file_the_rules_of_the_course_hold(text: str | None) -> None:
    """An empty cell in a notebook means the rules that come with the course."""
    assert read_house_rules(text) == read_house_rules(GOOD)


def test_a_tighter_limit_raises_what_may_be_weighed() -> None:
    """With 2 % allowed, the balance of 6 mg may weigh 300 mg and more."""
    rules = house(allowed_error='"2 %"')
    assert rules.balances[0].least_weighable(rules.allowed_error) == quantity(300, "mg")


def test_a_stated_minimum_goes_before_the_sensitivity_requirement() -> None:
    """The certificate knows the balance better than a rule of thumb; what it may be off by follows from it."""
    rules = read_house_rules(
        changed('sensitivity-requirement = "6 mg"', 'sensitivity-requirement = "6 mg"\nminimum-weight = "100 mg"')
    )
    balance = rules.balances[0]
    assert balance.least_weighable(rules.allowed_error) == quantity(100, "mg")
    assert balance.error_at_most(rules.allowed_error) == quantity(5, "mg")
    assert rules.limits(balance).least_weighable_quantity == quantity(100, "mg")


def test_the_rules_reach_the_plan() -> None:
    """Whole multiple, diluent, step and capacity are what a plan is judged by."""
    rules = house(multiple_factor='"any"', diluent_checked="false")
    limits = rules.limits(rules.balances[1], quantity(2, "gram"))
    assert (limits.whole_multiple, limits.diluent_checked) == (False, False)
    assert (limits.display_step, limits.capacity) == (quantity(1, "mg"), quantity(60, "gram"))
    assert limits.final_quantity == quantity(2, "gram")


def test_a_paper_prints_every_rule() -> None:
    """Nothing is judged by a rule that does not stand on the paper."""
    said = dict(read_house_rules().summary())
    assert said["Allowed error of one weighing"] == "5 %"
    assert said["Extra units for loss"] == "2"
    assert said["Balance 1"] == "sensitivity requirement 6 mg, display step 1 mg, capacity 120 g"
    assert said["Balance 3"] == "stated minimum weight 100 mg, display step 1 mg, capacity 200 g"
    assert "reach the least weighable quantity" in said["Diluent"]
    other = dict(house(multiple_factor='"any"', diluent_checked="false").summary())
    assert (other["Multiple factor"], other["Diluent"]) == ("any number that is large enough", "may be any amount")


def test_a_house_may_prefer_another_right_plan() -> None:
    """Where round multiples are taught, the working of 30 mg with 120 mg shows 5 times, not 4."""
    rules = house(preferred_plan='"round"')
    task = plan_task(30, rules=rules)
    assert task.values["multiple_factor"] == quantity(5)
    assert plan_task(30).values["multiple_factor"] == quantity(4)


@pytest.mark.parametrize("convention", sorted(CONVENTIONS))
def test_whatever_the_house_prefers_its_worked_answers_earn_everything(convention: str) -> None:
    """A preferred plan is a right plan; where a convention has none, the smallest is shown."""
    rules = house(preferred_plan=f'"{convention}"', multiple_factor='"any"')
    for number in range(20):
        for family in ("aliquot-plan", "aliquot-batch"):
            task = family_called(family).task("q1", f"house {number}", rules)
            mark = mark_task(task, task.answer_lines())
            assert (mark.marks, mark.cleared) == (task.out_of, True), task.answer_lines()


def test_a_house_may_limit_how_far_one_mixing_thins() -> None:
    """1 in 15 is the most: for 6 mg an aliquot of 120 mg thins 1 in 20 and breaks that rule by its name."""
    rules = house(largest_ratio='"15"')
    assert dict(rules.summary())["Largest ratio of one mixing"] == "1 in 15"
    task = plan_task(10, rules=rules)
    mark = mark_task(task, "multiple factor = 12\ndrug to weigh = 120 mg\naliquot = 160 mg\ntotal mixture = 1920 mg")
    assert "mixed-too-far" in [verdict.mistake_id for verdict in mark.verdicts]


# Refusals ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        (changed('"5 %"', '"5"'), ("allowed-error", "must be a percentage")),
        (changed('"5 %"', '"5 mg"'), ("allowed-error", "must be a percentage")),
        (changed('"5 %"', '"0 %"'), ("allowed-error", "above 0 % and up to 50 %")),
        (changed('"5 %"', '"60 %"'), ("allowed-error", "60 %")),
        (changed('"5 %"', "5"), ("allowed-error", "between quotation marks")),
        (changed('= "whole"', '= "round"'), ("multiple-factor", '"whole" or "any"')),
        (changed("= true", '= "yes"'), ("diluent-checked", "true or false")),
        (changed('= "smallest whole"', '= "nicest"'), ("preferred-plan", '"smallest whole" or "round"')),
        (
            changed('= "smallest whole"', '= "limit exactly"'),
            ("preferred-plan", "not whole", 'multiple-factor = "any"'),
        ),
        (changed('= "none"', '= "1"'), ("largest-ratio", "2 to 10000")),
        (changed('= "none"', '= "10 mg"'), ("largest-ratio", "plain number")),
        (changed('= "half up"', '= "up"'), ("rounding", '"half up" or "half even"')),
        (changed("for-loss = 2", "for-loss = 2.5"), ("extra-units-for-loss", "whole number")),
        (changed("for-loss = 2", "for-loss = -1"), ("extra-units-for-loss", "0 to 100")),
        (changed("for-loss = 2", "for-loss = true"), ("extra-units-for-loss", "whole number")),
        (changed('"6 mg"', '"6"'), ("Balance 1", "sensitivity-requirement", '"6" was read as 6')),
        (changed('"6 mg"', '"6 gr2"'), ("Balance 1", "sensitivity-requirement", "could not be read")),
        (changed('"120 g"', '"0 g"'), ("Balance 1", "capacity", "more than zero")),
        (changed('display-step = "1 mg"\n', ""), ("Balance 1", "display-step", "None")),
        (changed('name = "Balance 1"', 'name = ""'), ("balance 1", "no name")),
        (changed('name = "Balance 1"', f'name = "{"B" * 41}"'), ("balance 1", "no name")),
        (changed('sensitivity-requirement = "6 mg"\n', ""), ("Balance 1", "neither a sensitivity requirement nor")),
        (changed("display-step", "displaystep"), ("balance 1", "displaystep", "The entries are")),
        (changed("allowed-error", "allowed_error"), ("allowed_error", "The entries are")),
        (GOOD.split("[[balance]]")[0], ("1 to 20 balances", "[[balance]]")),
        (GOOD.split("[[balance]]")[0] + 'balance = "mine"', ("1 to 20 balances",)),
        (GOOD.split("[[balance]]")[0] + "balance = [1, 2]", ("1 to 20 balances",)),
        (GOOD + '[[balance]]\nname = "x"\n' * 20, ("1 to 20 balances",)),
        (changed('"5 %"', '"5 %'), ("cannot be read", "line")),
        ("house rules: none", ("cannot be read",)),
        (changed("for-loss = 2", "for-loss = " + "9" * 5000), ("cannot be read",)),
        ("x = " + "[" * 5000, ("cannot be read",)),
        (GOOD + "#" * 20_000, ("far too long",)),
    ],
)
def test_a_rule_that_cannot_be_is_refused_by_its_name(text: str, parts: tuple[str, ...]) -> None:
    """The instructor reads which entry, what it says, and what may stand there."""
    with pytest.raises(RefusedError) as caught:
        read_house_rules(text)
    assert str(caught.value).startswith("house rules")
    for part in parts:
        assert part in str(caught.value)


def test_two_balances_of_one_name_are_refused() -> None:
    """A record says at which balance something was weighed; a name must mean one."""
    with pytest.raises(RefusedError, match="two balances have the same name"):
        read_house_rules(default_house_rules_text().replace('"Balance 2"', '"Balance 1"'))
