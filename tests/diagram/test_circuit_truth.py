"""Circuit diagrams tell the truth: what their lines join, and which wire each line is said to be, is what the lists say.

For every example, a published harness, and random harnesses; and what is drawn wrong in one place is caught.
``make long`` draws, reads and spoils 300 random harnesses instead of 24 (``long_run.py``).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

import pytest
import yaml
from examples import raw
from outside.test_kbl import description

from harnessdoc.drawing.record import Drawing, Polyline, Text
from harnessdoc.steps import load

from . import hand_drawn, mutations, truths
from .circuit_sheets import Page, Truth, draw, lies, loaded_of
from .lines import read_lines, starts, strokes, touches
from .random_circuits import MOST_MEMBERS, Raw, random_raw
from .reader import nets, read_page
from .spoiled import KINDS, spoil
from .truths import of_sections

HERE = Path(__file__).parent
ONE_PAGE = HERE / "one_page_harness.yaml"
SEEDS = range(24)
BROKEN, UNNAMED = 14, 19
"""Seeds of harnesses that are one system, and that say none, too large for a page."""
SUBJECTS = (*raw.NAMES, *raw.MERGES)
NETS = pytest.mark.outside("networkx: connected components of the wire list as PyYAML and csv read it")


@cache
def drawn(name: str) -> tuple[tuple[Page, ...], Truth]:
    """The pages of an example and what they must say."""
    loaded = load(raw.main_file(name))
    assert loaded.harness is not None
    return tuple(draw(loaded)), truths.of_model(loaded.harness) if name in raw.MERGES else truths.of_example(name)


SHIELDED = """title: shielded
colours: IEC 60757
wire-type: PVC 85 C
supply: 5 V
devices:
  N1: {title: sensor, terminals: [1, 2, 3], sender: 10 ohm to 180 ohm, between: [N1.1, N1.2]}
  U1: {title: unit, terminals: [1, 2, 3]}
cables: {W1: {shield: foil}}
wires:
  21: {from: N1.1, to: U1.1, size: 0.5 mm2, colour: WH, cable: W1}
  22: {from: N1.2, to: U1.2, size: 0.5 mm2, colour: BN, cable: W1}
  23: {from: N1.3, to: U1.3, size: 0.5 mm2, colour: BK, cable: W1, core: drain}
"""


# ------------------------------------------------------------------------------ the readers

def test_the_reader_reads_a_drawing_made_by_hand():
    reading = read_page(hand_drawn.page())
    assert not reading.faults
    assert nets([reading]) == hand_drawn.NETS


@pytest.mark.parametrize("mutation", [mutations.moved_lines, mutations.without_dots, mutations.false_dots, mutations.without_lines])
def test_the_reader_catches_every_change_of_the_drawing_made_by_hand(mutation: Callable[[Drawing], Iterator[mutations.Mutation]]):
    tried = list(mutation(hand_drawn.page()))
    assert tried
    assert [what for what, page in tried if not (reading := read_page(page)).faults and nets([reading]) == hand_drawn.NETS] == []


# ----------------------------------------------------------------------------- the examples

@NETS
@pytest.mark.parametrize("name", SUBJECTS)
def test_the_diagrams_of_an_example_say_what_is_so(name: str):
    pages, true = drawn(name)
    assert lies([page.drawing for page in pages], true) == []


@NETS
def test_the_diagrams_of_the_one_page_harness_say_what_is_so():
    assert lies([page.drawing for page in draw(load(ONE_PAGE))], truths.of_file(ONE_PAGE)) == []


def test_a_drain_that_goes_on_is_tied_to_its_shield_by_a_dot():
    """A lead of symbol width leads level from the ellipse to a dot on the drain; both ends of the drain stay joined, the cores joined to nothing else."""
    (page,) = draw(loaded_of(SHIELDED))
    assert lies([page.drawing], of_sections(yaml.load(SHIELDED, yaml.BaseLoader))) == []
    lines = read_lines(page.drawing)
    (dot,) = lines.dots
    (ring,) = [mark for mark in lines.inside if isinstance(mark, Polyline) and mark.closed and mark.dash]
    (lead,) = [mark for mark in lines.inside if starts(mark, dot)]
    assert any(touches(ring, end) for segment in strokes(lead) for end in segment)
    assert sum(line.passes(dot) for line in lines.conductors) == 1
    assert [mark.text for mark in page.drawing.marks if isinstance(mark, Text) and "shield" in mark.text and mark.text != "shielded"] == ["W1 shield"]


@pytest.mark.outside("published example harness, prostep ivip ECAD wiki, engine (KBL, VDA 4964)", needs=("data:kbl",))
def test_the_diagrams_of_the_published_harness_say_what_is_so(outside_data: Path):
    pages = draw(loaded_of(description(outside_data, {})))
    true = truths.of_published(outside_data)
    assert len(true.wires) == 18
    assert lies([page.drawing for page in pages], true) == []


# -------------------------------------------------------------------------------- mutations

@pytest.mark.parametrize("name", SUBJECTS)
@pytest.mark.parametrize("kind", KINDS)
def test_what_is_drawn_wrong_on_a_page_of_an_example_is_caught(name: str, kind: str):
    pages, true = drawn(name)
    spoiled = spoil(pages, true, kind)
    assert spoiled.tried or not any(next(KINDS[kind](page.drawing), None) for page in pages)
    assert spoiled.missed == ()


def test_mutations_of_every_kind_are_tried():
    """On the pages of a large example each kind finds something to spoil on nearly every page."""
    pages, _ = drawn("linnet")
    for kind, mutate in KINDS.items():
        assert sum(next(mutate(page.drawing), None) is not None for page in pages) >= 0.8 * len(pages), kind


# ------------------------------------------------------------------------- random harnesses

@NETS
@pytest.mark.parametrize("seed", SEEDS)
def test_the_diagrams_of_a_random_harness_say_what_is_so(seed: int):
    assert lies([page.drawing for page in drawn_random(seed)], truths.of_random(random_raw(seed))) == []


@cache
def drawn_random(seed: int) -> tuple[Page, ...]:
    return tuple(draw(loaded_of(random_raw(seed).text())))


def test_the_generator_makes_what_it_should():
    """Over the seeds of one run: 20 to 150 wires, 2 to 6 splices of up to 9 members, and at least one of everything else."""
    made = [random_raw(seed) for seed in range(24)]
    assert all(20 <= len(harness.wires) <= 150 and 2 <= len(harness.splices) <= 6 for harness in made)
    assert min(len(harness.wires) for harness in made) < 30 and max(len(harness.wires) for harness in made) > 130
    assert {len(harness.splices) for harness in made} == {2, 3, 4, 5, 6}
    assert max(_members(harness) for harness in made) == MOST_MEMBERS
    assert all(harness.fuses and harness.grounds for harness in made)
    for what in ("relays", "mates", "pairs"):
        assert any(getattr(harness, what) for harness in made), what
    assert any("unknown" in (wire.a, wire.b) for harness in made for wire in harness.wires)
    assert any(not any(harness.systems.values()) for harness in made)


def _members(harness: Raw) -> int:
    return max(map(harness.members, harness.splices))


@pytest.mark.parametrize("seed", [BROKEN, UNNAMED])
def test_the_generator_makes_harnesses_that_need_a_page_break(seed: int):
    """A system on several pages; a harness that says no systems on several."""
    pages = drawn_random(seed)
    assert any(page.sheet.endswith("page 2") for page in pages)
    assert all(read_lines(page.drawing).conductors for page in pages)
