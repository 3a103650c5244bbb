"""The far ends of a bar: what it joins, and where the wires on it lead."""

from __future__ import annotations

import re
from pathlib import Path

from sheets.contexts import context_of

from harnessdoc.drawing.table import EmptyBox, LinkText
from harnessdoc.sheets.context import Context
from harnessdoc.sheets.stacks import Behind
from harnessdoc.sheets.wire_lines import ends_in_words, wire_lines

LINNET = Path(__file__).parents[2] / "examples" / "linnet" / "linnet.yaml"

HARNESS = """
    connectors:
      X1: {face: [[1..6]], view: wire side}
    boxes:
      B1: {title: box, bars: {15: [F1.1, F2.1], 30: [F3.1]}}
    fuses:
      F1: {box: B1}
      F2: {box: B1}
      F3: {box: B1}
    splices:
      S1: {members: [unknown]}
    wires:
"""


def _ends(context: Context, address: str) -> list[tuple[str, ...]]:
    """Far end and way of each line over a bar, without the numbers of sheets."""
    lines = wire_lines(context, address)
    start = next(index for index, line in enumerate(lines) if line.get("wire") == "bar")
    return [tuple(_plain(line[key]) for key in ("ends", "through") if key in line) for line in lines[start:]]


def _plain(item: object) -> str:
    match item:
        case Behind():
            return _plain(item.told)
        case LinkText():
            return re.sub(r" → \d+", "", item.text)
        case EmptyBox():
            return f"[{item.tag}]"
    return str(item)


def _context(*wires: str) -> Context:
    return context_of(HARNESS + "".join(f"      {wire}\n" for wire in wires))


def test_a_wire_on_a_bar_is_a_far_end_of_what_the_bar_joins() -> None:
    context = _context("1: {from: X1.1, to: B1.15}")
    assert _ends(context, "F1.1") == [("F2.1", "B1.15"), ("X1.1", "B1.15")]
    assert _ends(context, "F2.1") == [("F1.1", "B1.15"), ("X1.1", "B1.15")]


def test_a_wire_between_two_places_of_one_bar_is_told_once() -> None:
    assert _ends(_context("1: {from: F1.1, to: B1.15}"), "F1.1") == [("F2.1", "B1.15")]


def test_a_splice_on_the_way_and_what_is_not_known_of_it() -> None:
    context = _context("1: {from: B1.30, to: S1}", "2: {from: S1, to: X1.2}")
    assert _ends(context, "F3.1") == [("X1.2", "B1.30, S1"), ("[unknown:member]", "B1.30, S1")]
    assert _ends(_context("1: {from: B1.15, to: unknown}"), "F1.1") == [("F2.1", "B1.15"), ("[unknown:far end]", "B1.15")]


def test_many_ends_are_counted_with_the_wires() -> None:
    context = _context(*(f"{n}: {{from: B1.15, to: X1.{n}}}" for n in (1, 2, 3)))
    assert _ends(context, "F1.1") == [("B1.15 (4 ends)",)]
    assert _ends(_context("1: {from: B1.15, to: X1.1}", "2: {from: B1.15, to: S1}", "3: {from: S1, to: X1.2}", "4: {from: S1, to: X1.3}"), "F1.1") == [
        ("B1.15 (4 ends, more unknown)",)]


def test_what_is_told_by_its_count_says_which_ends_they_are() -> None:
    bar = _context(*(f"{n}: {{from: B1.15, to: X1.{n}}}" for n in (1, 2)), "3: {from: B1.15, to: unknown}")
    item = wire_lines(bar, "F1.1")[-1]["ends"]
    assert isinstance(item, Behind) and (item.name, item.count, item.ends) == ("B1.15", "4 ends", ("F2.1", "X1.1", "X1.2", "unknown"))
    splice = _context("1: {from: X1.1, to: S1}", *(f"{n}: {{from: S1, to: X1.{n}}}" for n in (2, 3, 4, 5)))
    item = wire_lines(splice, "X1.1")[0]["ends"]
    assert isinstance(item, Behind) and (item.name, item.count, item.ends) == ("S1", "4 ends, more unknown", ("X1.2", "X1.3", "X1.4", "X1.5"))
    assert (ends_in_words(1, False), ends_in_words(2, True)) == ("1 end", "2 ends, more unknown")


def test_a_bar_that_leads_nowhere_is_named_alone() -> None:
    assert _ends(_context("1: {from: X1.1, to: X1.2}"), "F3.1") == [("B1.30",)]


def test_the_bars_of_the_linnet_have_their_supply() -> None:
    context = context_of(LINNET.read_text(encoding="utf-8"))
    assert _ends(context, "F20.1") == [("F21.1", "B2.15"), ("X29.15", "B2.15")]
    assert _ends(context, "F2.1") == [("B1.30 (9 ends)",)]
