"""What holds of every harness with one source: opening a ground, swapping loads, renaming."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from operation.operated import BATTERY, described, operated

PROPERTY = settings(max_examples=40, deadline=None, derandomize=True)
STATE = "off, stopped"


@dataclass(frozen=True, slots=True)
class Load:
    """written: as in the description; feed: the splice it hangs on; ground: the splice it returns to; mm: of each of its wires"""

    written: str
    feed: str
    ground: str
    mm: int


@dataclass(frozen=True, slots=True)
class Small:
    """A harness of one battery: a fuse, two feed splices with a wire between, loads, two ground splices with a stud each.

    strap: a wire joins the ground splices; opened: the first ground wire is not there
    """

    loads: tuple[Load, ...]
    strap: bool
    opened: bool = False
    letter: str = ""

    def text(self) -> str:
        """``letter`` is put before every id."""
        x = self.letter
        devices = [BATTERY.replace("G1", f"{x}G1"),
                   *(f"{x}D{n}: {{terminals: [1, 2], between: [{x}D{n}.1, {x}D{n}.2], {load.written}}}" for n, load in enumerate(self.loads))]
        joins = [(f"{x}G1.+", f"{x}F1.1", 300), (f"{x}F1.2", f"{x}SPa", 800), (f"{x}SPa", f"{x}SPb", 2000), (f"{x}SPr", f"{x}GBr", 400), (f"{x}G1.-", f"{x}GBm", 250)]
        joins += [] if self.opened else [(f"{x}SPl", f"{x}GBl", 600)]
        joins += [(f"{x}SPl", f"{x}SPr", 900)] if self.strap else []
        for n, load in enumerate(self.loads):
            joins += [(f"{x}SP{load.feed}", f"{x}D{n}.1", load.mm), (f"{x}D{n}.2", f"{x}SP{load.ground}", load.mm)]
        return described(
            *devices, fuses=f"{x}F1: {{rating: 20 A, type: blade}}", splices="\n".join(f"{x}SP{name}: {{title: splice {name}}}" for name in "ablr"),
            grounds="\n".join(f"{x}GB{name}: {{metal: body}}" for name in "lrm"),
            wires="\n".join(f"{x}w{n}: {{from: {a}, to: {b}, size: 1 mm2, length: {mm} mm}}" for n, (a, b, mm) in enumerate(joins)))

    def currents(self) -> list[float]:
        """Of each load, then of the battery, in A; 0 where it floats."""
        solution = operated(self.text()).solved[STATE].solution
        assert solution is not None
        return [abs(solution.currents.get(f"load {self.letter}D{n}", 0.0)) for n in range(len(self.loads))] + [-solution.currents[f"battery {self.letter}G1"]]


WRITTEN = st.one_of(st.integers(1, 60).map("lamp: {} W at 12 V".format), st.integers(1, 300).map("load: {} ohm".format),
                    st.integers(1, 12).map("motor: {} A at 12 V".format), st.integers(5, 40).map("solenoid: {} ohm".format))


def smalls(ground: st.SearchStrategy[str] = st.sampled_from("lr"), feed: st.SearchStrategy[str] = st.sampled_from("ab"), least: int = 1) -> st.SearchStrategy[Small]:
    loads = st.lists(st.builds(Load, WRITTEN, feed, ground, st.integers(50, 3000)), min_size=least, max_size=6).map(tuple)
    return st.builds(Small, loads, st.booleans())


@PROPERTY
@given(smalls())
def test_opening_a_ground_never_raises_what_the_battery_gives(small: Small):
    opened = Small(small.loads, small.strap, opened=True)
    assert opened.currents()[-1] <= small.currents()[-1] + 1e-9


@PROPERTY
@given(smalls(ground=st.just("l"), feed=st.just("a")))
def test_opening_their_ground_never_raises_the_current_of_a_load(small: Small):
    whole, opened = small.currents(), Small(small.loads, small.strap, opened=True).currents()
    for before, after in zip(whole, opened, strict=True):
        assert after <= before + 1e-9
    if not small.strap:
        assert opened == pytest.approx([0.0] * len(opened), abs=1e-9)


@PROPERTY
@given(smalls(least=2), st.data())
def test_swapping_two_loads_swaps_their_readings(small: Small, data: st.DataObject):
    numbers = st.integers(0, len(small.loads) - 1)
    one, other = data.draw(numbers), data.draw(numbers)
    order = list(range(len(small.loads)))
    order[one], order[other] = order[other], order[one]
    swapped = Small(tuple(small.loads[n] for n in order), small.strap)
    before, after = operated(small.text()), operated(swapped.text())
    for n, was in enumerate(order):
        for terminal in "12":
            volts = [operation.read(operation.solved[STATE], [f"D{number}.{terminal}"])[f"D{number}.{terminal}"] for operation, number in ((after, n), (before, was))]
            assert volts[0] == pytest.approx(volts[1], abs=1e-9)
    assert swapped.currents() == pytest.approx([*(small.currents()[was] for was in order), small.currents()[-1]], abs=1e-9)


@PROPERTY
@given(smalls(), st.sampled_from(["Z", "a-", "9", "G1"]))
def test_renaming_changes_nothing(small: Small, letter: str):
    renamed = Small(small.loads, small.strap, letter=letter)
    before, after = operated(small.text()), operated(renamed.text())
    addresses = list(before.wiring.nodes.of)
    was, now = before.read(before.solved[STATE], addresses), after.read(after.solved[STATE], [f"{letter}{address}" for address in addresses])
    assert list(now.values()) == [volts if volts is None else pytest.approx(volts, abs=1e-9) for volts in was.values()]
    assert renamed.currents() == pytest.approx(small.currents(), abs=1e-9)
    assert [f"{letter}{point.id}" for point in before.wiring.loads] == [point.id for point in after.wiring.loads]
