"""The bench without a screen: what is done is said, drawn, kept in a file, and taken up again."""

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from pharmcalc.bench import FIELDS, SIMULATED, Display, State, record_text, weigh_by_the_book
from pharmcalc.tasks.family import Task, family_called
from pharmcalc.widgets.bench import BenchCard, bench
from pharmcalc.widgets.bench_picture import bench_svg, bench_words
from tests.questions import HOUSE

SVG = "{http://www.w3.org/2000/svg}"


def order_task(family: str = "bench-weighing", key: str = "widget") -> Task:
    """Return a task at the bench."""
    return family_called(family).task("q1", key, HOUSE)


def by_the_book(card: BenchCard) -> None:
    """Do everything on a card as the book says."""
    for event in weigh_by_the_book(card.order).events:
        assert card.act(event.action, event.what)


def test_what_is_done_is_said_and_what_cannot_be_done_is_said_with_its_cure() -> None:
    """A refusal changes nothing."""
    card = BenchCard(order_task())
    assert card.act("use balance", "Balance 2")
    assert card.said == "You stand at Balance 2. It is off."
    assert not card.act("zero")
    assert card.said == "Not done: the display is dark. Choose a balance and switch it on."
    assert len(card.session.moments) == 1


def test_the_display_stands_behind_what_was_said() -> None:
    """Whoever only hears the sentence knows what the display shows and whether it rests."""
    card = BenchCard(order_task())
    for action, what in (("use balance", "Balance 1"), ("switch on", "")):
        card.act(action, what)
    shown = card.session.flicker()[0]
    assert f"The display shows {shown.text}, at rest." in card.said


def test_the_question_names_the_order_and_what_each_balance_may_weigh() -> None:
    """The least weighable quantity of each balance is there to be compared with the amount."""
    card = BenchCard(order_task())
    text = card.question().text
    assert card.order.product in text
    assert "Balance 1: 120 mg, 120 g, 1 mg" in text
    assert "Balance 2: 80 mg, 60 g, 1 mg" in text


def test_no_verdict_comes_before_the_end() -> None:
    """First the work is signed, or stopped."""
    card = BenchCard(order_task())
    assert "Finish first" in card.verdict_html()
    by_the_book(card)
    html = card.verdict_html()
    assert "Marks: 20 of 20" in html
    assert SIMULATED in html


def test_every_action_is_kept_at_once_and_taken_up_again(tmp_path: Path) -> None:
    """A notebook that is closed in the middle loses nothing."""
    path, task = tmp_path / "bench-record-q1.json", order_task()
    first = BenchCard(task, path)
    first.act("use balance", "Balance 1")
    first.act("switch on")
    second = BenchCard(task, path)
    assert second.said == "You go on where you left off."
    assert second.session.moments == first.session.moments
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("text", ["", "{", "[]", '{"form": "other"}', "\u00ed\u00b3"])
def test_a_file_of_other_work_is_put_aside_and_never_lost(tmp_path: Path, text: str) -> None:
    """What stands in the way keeps its words under another name, also twice."""
    path = tmp_path / "bench-record-q1.json"
    for number in (1, 2):
        path.write_text(text, encoding="utf-8")
        card = BenchCard(order_task(), path)
        assert f"bench-record-q1-before-{number}.json" in card.said
        assert path.with_name(f"bench-record-q1-before-{number}.json").read_text(encoding="utf-8") == text
        assert card.session.moments == []


def test_a_record_of_another_order_is_put_aside(tmp_path: Path) -> None:
    """As when a student types their number only after they have begun."""
    path = tmp_path / "bench-record-q1.json"
    other = order_task(key="another student")
    path.write_text(record_text(weigh_by_the_book(other.drawn.order)), encoding="utf-8")
    card = BenchCard(order_task(), path)
    assert "kept as bench-record-q1-before-1.json" in card.said


def test_the_record_form_has_a_line_for_everything_and_keeps_what_was_written() -> None:
    """Lot, expiry, range and reading."""
    card = BenchCard(order_task())
    assert card.form().splitlines() == [f"{field} = " for field in FIELDS]
    card.act("write", "lot = K1234")
    assert card.form().splitlines()[0] == "lot = K1234"
    card.act("write", "colour = blue")
    assert 'the line "colour = blue" was not understood' in card.said


def test_what_was_done_stands_in_a_table_line_by_line() -> None:
    """Everything that is typed is escaped."""
    card = BenchCard(order_task())
    by_the_book(card)
    card.act("start again")
    card.act("write", "lot = <b>x</b>")
    html = card.done_html()
    assert html.count("<tr>") == len(card.session.moments) + 1
    assert "<b>x" not in html
    assert "&lt;b&gt;x" in html


def test_the_display_flickers_for_the_eye_only() -> None:
    """Five looks are drawn, hidden from screen readers; the reading is said once."""
    card = BenchCard(order_task())
    assert "off" in card.display_html()
    card.act("use balance", "Balance 1")
    card.act("switch on")
    root = ET.fromstring(card.display_html())
    flicker, said = root.findall("span")[:2]
    assert flicker.get("aria-hidden") == "true"
    assert len(flicker.findall("span")) == 5
    assert flicker.findall("span")[0].text == card.session.moments[-1].shown.text
    assert said.text == f"{card.session.moments[-1].shown.text}, at rest"


# The picture ---------------------------------------------------------------------------------------------------------


def circles(svg: str, kind: str) -> list[tuple[float, float]]:
    """Return the middles of the discs of one kind."""
    found = ET.fromstring(svg).findall(f"{SVG}circle")
    return [(float(one.get("cx", "")), float(one.get("cy", ""))) for one in found if one.get("class") == kind]


def draw(state: State) -> str:
    """Return the picture of a state with a display that is off."""
    order = order_task().drawn.order
    assert order is not None
    return bench_svg(order, state, Display(""))


def test_the_bubble_is_drawn_in_its_ring_when_the_balance_is_level_and_only_then() -> None:
    """It goes to the side that is too high."""
    ((ring_x, ring_y),) = circles(draw(State(balance="Balance 1")), "ring")
    assert circles(draw(State(balance="Balance 1")), "bubble") == [(ring_x, ring_y)]
    ((x, y),) = circles(draw(State(balance="Balance 1", feet=(0, 2))), "bubble")
    assert x > ring_x
    assert y < ring_y


def test_the_picture_says_in_words_what_it_shows() -> None:
    """Its description is the same sentence that a reader without the picture gets."""
    order = order_task().drawn.order
    assert order is not None
    state = State(
        balance="Balance 1",
        vessel="small boat",
        shield_open=True,
        jar="B",
        jar_open=True,
        powder=(("B", 50_000),),
        out=9,
    )
    words = bench_words(order, state, Display(""))
    for part in ("draught shield is open", "small boat stands on the pan, with powder", "Jar B", "open", "spatula"):
        assert part in words
    description = ET.fromstring(draw(state)).find(f"{SVG}desc")
    assert description is not None
    assert description.text == words


def test_more_powder_makes_a_higher_heap() -> None:
    """Up to a point: a heap never leaves the picture."""

    def top(amount: int) -> float:
        svg = draw(State(balance="Balance 1", vessel="small boat", powder=(("A", amount),)))
        heap = next(one for one in ET.fromstring(svg).findall(f"{SVG}polygon") if one.get("class") == "drug")
        return min(float(point.split(",")[1]) for point in (heap.get("points") or "").split())

    assert top(20_000) > top(60_000) > 0
    assert top(10**9) > 0


def test_the_widget_hands_every_button_to_the_card() -> None:
    """The view is thin: each button is one action, and another order empties the form."""
    view = bench("bench-weighing", key="view")
    names = {}

    def collect(box: object) -> None:
        for child in getattr(box, "children", ()):
            names.setdefault(getattr(child, "description", ""), child)
            collect(child)

    collect(view)
    for name in (
        "Go to Balance 1",
        "Switch on",
        "Left foot up",
        "Wait half an hour",
        "Zero",
        "Open shield",
        "Put on the weighing paper",
    ):
        names[name].click()
    actions = [event.action for event in view.card.session.events]
    assert actions == ["use balance", "switch on", "turn", "wait half an hour", "zero", "open shield", "put on"]
    names["Start again"].click()
    assert "Press Yes, start again" in view.said.value
    names["Start again"].click()
    assert view.card.session.events[-1].action == "start again"
    before = view.card.order.code
    names["Another order"].click()
    assert view.card.order.code != before
    assert view.card.session.moments == []
    assert "Balance 1" in view._repr_mimebundle_()["text/plain"]
