"""The rules: one a module, found here in one list.

A rule module has a docstring with the sections *What it checks*, *Why it
matters*, *Example that fails*, *Example that passes* and *Limits and source*; the
constants CODE and SEVERITY; and ``check(subject) -> Iterator[Finding]``, which
changes nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..findings import Finding
from . import (
    absurd_value,
    battery_feeds_battery,
    cable_without_cores,
    cavity_used_twice,
    colour_in_doubt,
    halves_do_not_mate,
    letter_missing,
    load_left_out,
    not_known_yet,
    open_circuit,
    pair_of_one,
    part_for_another_voltage,
    shorted_reference,
    shorted_source,
    splice_of_one,
    state_not_solved,
    strap_missing,
    supply_at_limit,
)

if TYPE_CHECKING:
    from ..description.text import SourceText
    from ..geometry.measure import Geometry
    from ..model.harness import Harness
    from ..network.islands import Network
    from ..operation.operate import Operation


@dataclass(frozen=True, slots=True)
class Subject:
    """What the rules look at: the harness, what was computed of it, and its files by name.

    operation: the circuit solved; None where nothing gives a supply, or nobody asked
    """

    harness: Harness
    network: Network
    geometry: Geometry
    texts: Mapping[str, SourceText]
    lacks: Callable[[str], bool]     # True for a character the sheets cannot print
    operation: Operation | None = None


RULES = (
    absurd_value,
    battery_feeds_battery,
    cable_without_cores,
    cavity_used_twice,
    colour_in_doubt,
    halves_do_not_mate,
    letter_missing,
    load_left_out,
    not_known_yet,
    open_circuit,
    pair_of_one,
    part_for_another_voltage,
    shorted_reference,
    shorted_source,
    splice_of_one,
    state_not_solved,
    strap_missing,
    supply_at_limit,
)


CODES_OF_RULES = frozenset(rule.CODE for rule in RULES)
"""What rules find; every other error means that a file was not understood."""


def check_rules(subject: Subject) -> list[Finding]:
    """What every rule finds, rule by rule."""
    return [finding for rule in RULES for finding in rule.check(subject)]
