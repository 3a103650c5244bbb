"""The next name that is not taken, for a way out that adds a splice or the number of a join."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from ..model.harness import Harness
from ..network.cavity_order import following


def next_name(like: str, taken: Collection[str]) -> str:
    """The first of ``S5``, ``S6`` ... behind ``like`` that is not taken; ``like`` itself where it is free."""
    name = like
    while name in taken:
        name = following(name) or f"{name}-2"
    return name


def owner_ids(harness: Harness) -> set[str]:
    """The ids that no further splice may have."""
    return {*harness.splices, *harness.connectors, *harness.devices, *harness.parts, *harness.boxes, *harness.grounds}


def join_numbers(harness: Harness) -> Iterator[str]:
    """Numbers for more joins, without end, counted on from the last that is given; from ``J1`` where there is none."""
    given = [splice.join for splice in harness.splices.values() if splice.join]
    taken, last = set(given), given[-1] if given else "J1"
    while True:
        last = next_name(last, taken)
        taken.add(last)
        yield last
