"""Weighings in which one thing is done wrong, each with everything that an inspector finds amiss."""

from dataclasses import dataclass

from pharmcalc.bench import OUTCOME, Order
from pharmcalc.units import Quantity, quantity
from tests.bench.orders import Change, ahead, both, drop, from_jar, instead, order, written


def mg(number: int) -> Quantity:
    """Return milligrams."""
    return quantity(number, "mg")


USUAL = order()


@dataclass(frozen=True)
class Case:
    """What somebody did, what differs from the book, the order, and everything that is found amiss."""

    did: str
    change: Change
    found: dict[str, str]
    wanted: Order = USUAL


A_LITTLE_OUT = ("open shield", "take out: light tap")
AT_REST = ("close shield", *["wait"] * 5)
NOTHING_READ = {"amount": "not-reached", "record": "not-reached"}
RETURNING = order(excess="return")
LARGER = order(mg(900))

CASES = (
    # Choosing and setting up
    Case("took a balance that may not weigh 90 mg", instead("use balance", "use balance: Balance 1"),
         {"balance": "balance-not-fit"}, order(mg(90))),
    Case("never looked at the bubble", drop("turn"), {"level": "not-level"}),
    Case("turned a foot after tare", ahead("take jar", "turn: left foot up"), {"level": "not-level"}),
    Case("turned a foot and back after tare", ahead("take jar", "turn: left foot up", "turn: left foot down"),
         {"level": "not-level"}),
    Case("switched on and began", drop("wait half an hour"), {"warm_up": "cold"}, LARGER),
    Case("let it warm up only after tare", both(ahead("take jar", "wait half an hour"), drop("wait half an hour")),
         {"warm_up": "cold"}, LARGER),
    Case("never pressed zero", drop("zero"), {"zero": "not-zeroed"}),
    Case("zeroed another balance than the one used", both(ahead("use balance", "use balance: Balance 3", "switch on",
         "wait half an hour", "zero"), drop("zero")), {"zero": "not-zeroed"}),
    Case("zeroed with the shield open", instead("zero", "open shield", "zero"), {"zero": "zero-unsteady"}),
    # Vessel and tare
    Case("filled a vessel that was too small", instead("put on", "put on: weighing paper"),
         {"vessel": "vessel-too-small", "amount": "untrue"}, order(mg(1300))),
    Case("weighed 250 mg into a beaker", instead("put on", "put on: beaker"), {"vessel": "vessel-too-large"}),
    Case("never tared", drop("tare"), {"tare": "not-tared", "amount": "untrue"}, LARGER),
    Case("tared before the vessel was on", both(ahead("put on", "tare"), drop("tare")),
         {"tare": "not-tared", "amount": "untrue"}, LARGER),
    Case("tared the paper and filled a boat", ahead("take jar", "open shield", "take off", "put on: small boat"),
         {"tare": "not-tared", "amount": "half-or-double"}, LARGER),
    Case("zeroed the empty pan after tare", ahead("take jar", "open shield", "take off", *AT_REST, "zero",
         "open shield", "put on: weighing paper"), {"tare": "not-tared", "amount": "untrue"}, LARGER),
    Case("tared with the shield open", instead("tare", "open shield", "tare"), {"tare": "tare-unsteady"}, LARGER),
    Case("tared as soon as the vessel was on", instead("tare", "open shield", "take off", *AT_REST, "open shield",
         "put on: weighing paper", "close shield", "tare"), {"tare": "tare-unsteady", "amount": "untrue"}, LARGER),
    Case("tared again with powder in the vessel", ahead("add", *AT_REST, "tare", "open shield", number=2),
         {"tare": "tared-again", "amount": "untrue"}, LARGER),
    # Jar and label
    Case("took another form", from_jar("B"), {"product": "another-form"}),
    Case("took another grade", from_jar("C"), {"product": "another-grade"}),
    Case("took a jar that is past its date", from_jar("D"), {"product": "expired"}),
    Case("went on from another jar", ahead("add", "close jar", "put jar back", "take jar: D", "read label", "open jar",
         number=2), {"product": "mixed-up"}),
    Case("read no label", drop("read label"), {"label": "label-never"}),
    Case("read the label before opening only", drop("read label", after="close jar"), {"label": "label-once"}),
    Case("read the label afterwards only", drop("read label", until="close jar"), {"label": "label-once"}),
    Case("read only another jar's label before opening", both(ahead("take jar", "take jar: B", "read label",
         "put jar back"), drop("read label", until="close jar")), {"label": "label-once"}),
    # Amount and reading
    Case("stopped adding too early", ahead("read", "open shield", "take out: small scoop", "excess: discard", *AT_REST,
         number=0), {"amount": "outside"}),
    Case("weighed less than half", ahead("read", "open shield", *["take out: small scoop", "excess: discard"] * 3,
         *AT_REST, number=0), {"amount": "half-or-double"}),
    Case("never read", drop("read", "second check"), {OUTCOME: "signed-without-reading", "reading": "not-read",
         "second_check": "not-checked", **NOTHING_READ}),
    Case("read the empty vessel and no powder", both(ahead("take jar", "read"), drop("read")),
         {OUTCOME: "signed-without-reading", "reading": "not-read", "second_check": "checked-too-soon",
          **NOTHING_READ}),
    Case("added a little after reading", ahead("close jar", "open shield", "add: light tap"),
         {"reading": "changed-after-reading", "second_check": "checked-too-soon", **NOTHING_READ}),
    Case("read with the shield open", instead("read", "open shield", "read"),
         {"reading": "shield-open"}, LARGER),
    Case("read at once after a scoop", ahead("read", "open shield", "add: small scoop", "close shield"),
         {"reading": "read-too-soon"}, order(quantity(2, "g"))),
    # Excess, and the end
    Case("returned excess where the house discards it", ahead("read", *A_LITTLE_OUT, "excess: return", *AT_REST),
         {"excess": "excess-against-the-rule"}),
    Case("discarded excess where the house returns it", ahead("read", *A_LITTLE_OUT, "excess: discard", *AT_REST),
         {"excess": "excess-against-the-rule"}, RETURNING),
    Case("returned excess into another jar", ahead("read", *A_LITTLE_OUT, "close jar", "put jar back", "take jar: B",
         "open jar", "excess: return", "close jar", "put jar back", "take jar: A", *AT_REST),
         {"excess": "excess-against-the-rule"}, RETURNING),
    Case("left excess on the spatula", both(ahead("read", *A_LITTLE_OUT, *AT_REST), drop("wipe")),
         {"excess": "excess-left", "closing": "not-wiped"}),
    Case("left the jar out", drop("put jar back"), {"closing": "jar-left"}),
    Case("left the jar open", drop("close jar", "put jar back"), {"closing": "jar-left"}),
    Case("did not wipe", drop("wipe"), {"closing": "not-wiped"}),
    # Record, check, signature
    Case("wrote nothing", drop("write"), {"record": "record-incomplete"}),
    Case("left a line empty", written("lot", ""), {"record": "record-incomplete"}),
    Case("wrote another lot", written("lot", "K2222"), {"record": "record-label-wrong"}),
    Case("wrote another expiry", written("expiry", "2029-01"), {"record": "record-label-wrong"}),
    Case("wrote a limit of 10 %", written("allowed from", "225 mg"), {"record": "record-range-wrong"}),
    Case("wrote words for a limit", written("allowed to", "enough"), {"record": "record-range-wrong"}),
    Case("wrote another reading", written("reading", "0.260 g"), {"record": "record-reading-wrong"}),
    Case("wrote the reading without its unit", written("reading", "0.250"), {"record": "record-reading-wrong"}),
    Case("asked for no second check", drop("second check"), {"second_check": "not-checked"}),
    Case("had it checked before the record was written", both(ahead("write", "second check"), drop("second check")),
         {"second_check": "checked-too-soon"}),
    Case("changed the record after the check", ahead("sign", "write: lot = K1111"),
         {"second_check": "checked-too-soon"}),
    Case("did not sign", drop("sign"), {OUTCOME: "unfinished"}),
)  # fmt: skip
