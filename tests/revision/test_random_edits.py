"""500 random edits of known kind on the Linnet, and 200 files with five at once: all found, none invented."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from functools import cache
from random import Random

import pytest
from revision.bench import Bench, Description, linnet, version_of
from revision.edits import (
    EDITS,
    Edit,
    Told,
    edited,
    found,
    moved,
    propose,
    re_ended,
    recoloured,
    renamed,
    resized,
    spliced,
)

from harnessdoc.revision.changes import ChangeKind, Thing
from harnessdoc.revision.compare import compare
from harnessdoc.revision.version import Version

SINGLE, FIVE = 500, 200
KINDS = tuple(EDITS)


@cache
def _linnet() -> tuple[Description, Version]:
    description = linnet()
    return description, version_of(description)


def _check(new: Description, expected: Counter[Told], names: list[str]) -> str:
    """What is missing and what is invented, in words; "" where nothing is."""
    told = Counter(found(compare(_linnet()[1], version_of(new))))
    missing, invented = expected - told, told - expected
    shown = [f"{kind.value}/{thing.value}/{name}/{key}" for part in (missing, invented) for kind, thing, name, key in part.elements()]
    return "" if not shown else f"{names}: missing {shown[:missing.total()]}, invented {shown[missing.total():]}"


@pytest.mark.parametrize("kind", KINDS)
def test_every_single_edit_is_found_and_nothing_else(kind: str) -> None:
    description, _ = _linnet()
    edits = [propose(Bench(description, Random(f"{kind} {n}")), kind) for n in range(-(-SINGLE // len(KINDS)))]
    made = [edit for edit in edits if edit is not None]
    wrong = [fault for edit in made if (fault := _check(edited(description, edit), Counter(edit.expected), [edit.name]))]
    assert len(made) >= 20
    assert not wrong, "\n".join(wrong)


def test_five_hundred_edits_are_made_and_each_is_of_the_kind_it_says() -> None:
    description, _ = _linnet()
    made = [(kind, propose(Bench(description, Random(f"{kind} {n}")), kind)) for kind in KINDS for n in range(-(-SINGLE // len(KINDS)))]
    assert sum(edit is not None for _, edit in made) >= SINGLE
    assert set(KINDS) == {kind.value for kind in ChangeKind}
    for kind, edit in made:
        assert edit is None or kind in {told.value for told, *_ in edit.expected}, edit.name


# ------------------------------------------------------------------- five edits at once

def _of_wire(edit: Callable[[Bench], Edit | None]) -> Callable[[Bench], Edit | None]:
    """The same edit, but on a wire."""
    def on_wire(bench: Bench) -> Edit | None:
        for _ in range(40):
            proposed = edit(bench)
            if proposed is not None and {thing for _, thing, *_ in proposed.expected} == {Thing.WIRE}:
                return proposed
        return None

    return on_wire


_ON_ONE_WIRE = (("renamed", recoloured), ("moved", resized), ("renamed", re_ended), ("renamed", moved), ("recoloured", spliced), ("renamed", resized), ("resized", re_ended))
_FIRST = {"renamed": lambda bench: renamed(bench, "wires"), "moved": _of_wire(moved), "recoloured": _of_wire(recoloured), "resized": _of_wire(resized)}


def _two_on_one_wire(bench: Bench) -> list[Edit] | None:
    """Two edits of the same wire, the second proposed on what the first left."""
    first_kind, second = bench.choose(_ON_ONE_WIRE)
    second_edit = _of_wire(second)(bench)
    if second_edit is None:
        return None
    wire = next(name for section, name in second_edit.touches if section == "wires")
    only = {("wires", name) for name in bench.section("wires") if name != wire}
    first = _FIRST[first_kind](Bench(bench.description, bench.random, bench.touched | only | {key for key in second_edit.touches if key != ("wires", wire)}))
    if first is None:
        return None
    if first_kind != "renamed":
        return [second_edit, first]
    (_, _, new, _), = first.expected
    told = frozenset((kind, thing, new if thing is Thing.WIRE else name, key) for kind, thing, name, key in second_edit.expected)
    return [Edit(second_edit.name, second_edit.touches, told, second_edit.apply), first]


def test_five_edits_at_once_two_of_them_on_one_wire_are_all_found_and_nothing_else() -> None:
    description, _ = _linnet()
    wrong, made = [], Counter()
    for number in range(FIVE):
        random = Random(f"five {number}")
        edits: list[Edit] = []
        while not edits:
            edits = _two_on_one_wire(Bench(description, random)) or []
        while len(edits) < 5:
            kind = random.choice(KINDS)
            edit = propose(Bench(description, random, {touched for edit in edits for touched in edit.touches}), kind)
            if edit is not None:
                edits.append(edit)
                made[kind] += 1
        # renaming comes last: the others were proposed in the ids of before
        edits.sort(key=lambda edit: "renamed" in edit.name)
        expected = Counter(told for edit in edits for told in edit.expected)
        if fault := _check(edited(description, *edits), expected, [edit.name for edit in edits]):
            wrong.append(f"{number} {fault}")
    assert not wrong, "\n".join(wrong)
    assert min(made.values()) >= 10
