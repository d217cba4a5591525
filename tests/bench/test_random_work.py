"""Whatever somebody does at the bench, in whatever order: it never comes to something that cannot be."""

import os

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from pharmcalc.bench import ACTIONS, AMOUNTS, STEPS, Session, inspect, read_record, record_text, weigh_by_the_book
from pharmcalc.bench.session import Moment
from pharmcalc.bench.state import instrument_of
from pharmcalc.bench.things import vessel_called
from pharmcalc.errors import RefusedError
from pharmcalc.marking import mark_task
from pharmcalc.tasks.family import Task, family_called
from tests.questions import HOUSE

SEQUENCES = 10_000 if os.environ.get("PHARMCALC_PROFILE") == "thorough" else 80
TEXTS = ("", "AB", "lot = K1111", "allowed from = 237.5 mg\nallowed to = 262.5 mg", "reading = x", "\x00<b>")
FAMILIES = ("bench-weighing", "bench-doubtful", "bench-batch")


class Work(RuleBasedStateMachine):
    """Somebody who follows the book for a while, and then does things at random."""

    task: Task
    session: Session
    added = gone = 0

    @initialize(seed=st.integers(0, 5), family=st.sampled_from(FAMILIES), by_the_book=st.integers(0, 80))
    def begin(self, seed: int, family: str, by_the_book: int) -> None:
        """Begin on one of a few orders, with so many actions out of the book."""
        self.task = family_called(family).task("q1", f"random {seed}", HOUSE)
        order = self.task.drawn.order
        assert order is not None
        self.session = Session(order)
        for event in weigh_by_the_book(order).events[:by_the_book]:
            if event.action not in ("sign", "stop and ask"):
                self.weigh_up(self.session.act(event.action, event.what))

    @rule(data=st.data())
    def do_something(self, data: st.DataObject) -> None:
        """Do one thing of those that there are, with whatever it can be done with, now and then with something else."""
        action = ACTIONS[data.draw(st.sampled_from(sorted(ACTIONS)))]
        choices = action.choices(self.session.order) if action.choices else ("",)
        what = data.draw(st.sampled_from(TEXTS if action.free else (*choices, *choices, "nonsense")))
        before, moments = self.session.state, list(self.session.moments)
        try:
            moment = self.session.act(action.id, what)
        except RefusedError:
            assert (self.session.state, self.session.moments) == (before, moments)
            return
        assert what != "nonsense"
        self.weigh_up(moment)

    def weigh_up(self, moment: Moment) -> None:
        """Keep the books of the powder: what was added, and what went into the waste, the jar or the cloth."""
        action, before, after = moment.event.action, moment.before, moment.after
        if action == "add":
            came = after.net + after.spilled - before.net - before.spilled
            assert 70 * AMOUNTS[moment.event.what] <= 100 * came <= 130 * AMOUNTS[moment.event.what]
            self.added += came
        elif action == "excess":
            self.gone += before.out
        elif action == "wipe":
            self.gone += before.spilled
        elif action == "start again":
            self.gone += before.net + before.spilled + before.out

    @invariant()
    def powder_is_conserved(self) -> None:
        """What was added lies in the vessel, beside it, on the spatula, or is gone; nothing else comes or goes."""
        if hasattr(self, "session"):
            state = self.session.state
            assert state.net + state.spilled + state.out + self.gone == self.added

    @invariant()
    def nothing_impossible(self) -> None:
        """No negative mass, no vessel in two places or overfull, no jar that is open and not there."""
        if not hasattr(self, "session"):
            return
        state = self.session.state
        assert min(state.out, state.spilled, state.load, state.clock, *(amount for _, amount in state.powder), 0) == 0
        assert not (state.vessel and state.set_down)
        assert not state.net or state.vessel or state.set_down
        assert not state.jar_open or state.jar
        if state.vessel or state.set_down:
            assert state.net <= vessel_called(state.vessel or state.set_down).holds
        if self.session.moments:
            last = self.session.moments[-1]
            assert last.after.clock == last.before.clock + ACTIONS[last.event.action].seconds
            assert not last.before.ended or last.event.action == "start again"

    @invariant()
    def the_display_says_what_it_can(self) -> None:
        """No number on a dark display or above the capacity; a steady one only with the shield closed."""
        if not getattr(self, "session", None) or not self.session.moments:
            return
        state = self.session.state
        instrument = instrument_of(self.session.order, state)
        looks = self.session.flicker()
        assert looks[0] == self.session.moments[-1].shown
        for look in looks:
            if instrument is None or state.on_since is None:
                assert (look.text, look.shown) == ("", None)
            elif state.load > instrument.capacity:
                assert (look.text, look.shown) == ("over capacity", None)
            else:
                assert look.shown is not None
                assert look.shown % instrument.step == 0
                assert look.text == instrument.text(look.shown)
            assert not (look.steady and state.shield_open)

    def teardown(self) -> None:
        """At the end the record replays exactly, is inspected without trouble, and is marked."""
        if not hasattr(self, "session"):
            return
        text = record_text(self.session)
        assert read_record(text, self.session.order).moments == self.session.moments
        found = inspect(self.session)
        assert set(found) == {step.name for step in STEPS}
        assert all(found[step.name] in {"done", *(fault.id for fault in step.faults)} for step in STEPS)
        mark = mark_task(self.task, text)
        assert 0 <= mark.marks <= mark.out_of
        assert not mark.cleared or self.session.state.ended


TestWork = Work.TestCase
TestWork.settings = settings(max_examples=SEQUENCES, stateful_step_count=60, deadline=None)
