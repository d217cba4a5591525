"""Whatever somebody does at the bench, in whatever order: it never comes to something that cannot be."""

import os

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from pharmcalc.bench import ACTIONS, AMOUNTS, STEPS, Event, Session, inspect, read_record, record_text
from pharmcalc.bench.things import vessel_called
from pharmcalc.errors import RefusedError
from pharmcalc.marking import mark_task
from pharmcalc.tasks.family import family_called
from tests.bench.orders import order
from tests.questions import HOUSE

SEQUENCES = 10_000 if os.environ.get("PHARMCALC_PROFILE") == "thorough" else 60
TEXTS = ("", "AB", "lot = K1111", "allowed from = 237.5 mg\nallowed to = 262.5 mg", "reading = x", "\x00<b>")


class Work(RuleBasedStateMachine):
    """Somebody who does things at random."""

    @initialize(seed=st.integers(0, 5), family=st.sampled_from(("bench-weighing", "bench-doubtful", "bench-batch")))
    def begin(self, seed: int, family: str) -> None:
        """Begin on one of a few orders."""
        self.task = family_called(family).task("q1", f"random {seed}", HOUSE)
        found = self.task.drawn.order
        self.session = Session(found if found is not None else order())
        self.added, self.out, self.wiped, self.again = 0, 0, 0, 0

    @rule(data=st.data())
    def do_something(self, data: st.DataObject) -> None:
        """Do one thing of those that there are, with whatever it can be done with, now and then with something else."""
        action = ACTIONS[data.draw(st.sampled_from(sorted(ACTIONS)))]
        choices = action.choices(self.session.order) if action.choices else ("",)
        what = data.draw(st.sampled_from(TEXTS if action.free else (*choices, *choices, "nonsense")))
        before, count = self.session.state, len(self.session.moments)
        try:
            moment = self.session.act(action.id, what)
        except RefusedError:
            assert (self.session.state, len(self.session.moments)) == (before, count)
            return
        self._weigh_up(moment.event, before)

    def _weigh_up(self, event: Event, before: object) -> None:
        after, was = self.session.moments[-1].after, self.session.moments[-1].before
        held, held_before = after.net + after.spilled, was.net + was.spilled
        if event.action == "add":
            assert 0.69 * AMOUNTS[event.what] <= held - held_before <= 1.31 * AMOUNTS[event.what]
        elif event.action == "take out":
            assert held + after.out == held_before
        elif event.action not in ("wipe", "start again"):
            assert held == held_before, "powder comes and goes only by the spatula"

    @invariant()
    def nothing_impossible(self) -> None:
        """No negative mass, no number on a dark display, no vessel in two places."""
        if not hasattr(self, "session"):
            return
        state = self.session.state
        assert min(state.net, state.out, state.spilled, state.load, state.clock) >= 0
        assert not (state.vessel and state.set_down)
        if state.vessel:
            assert state.net <= vessel_called(state.vessel).holds
        if self.session.moments:
            last = self.session.moments[-1]
            assert last.after.clock > last.before.clock
            if state.on_since is None or not state.balance:
                assert last.shown.text == ""

    @invariant()
    def an_ended_work_stays_ended(self) -> None:
        """After the signature there is nothing but a new beginning."""
        for moment in getattr(self, "session", Session(order())).moments[-1:]:
            assert not moment.before.ended or moment.event.action == "start again"

    def teardown(self) -> None:
        """At the end the record replays exactly, is inspected without trouble, and is marked."""
        if not hasattr(self, "session"):
            return
        text = record_text(self.session)
        assert read_record(text, self.session.order).moments == self.session.moments
        assert set(inspect(self.session)) == {step.name for step in STEPS}
        mark = mark_task(self.task, text)
        assert 0 <= mark.marks <= mark.out_of


TestWork = Work.TestCase
TestWork.settings = settings(max_examples=SEQUENCES, stateful_step_count=60, deadline=None)
