"""Readings on circuit pages: each is what the solved circuit gives at the point it stands beside, every point has one, nothing else moves, nothing is printed over anything.

Points are found by the reader of the circuit tests (lines, dots, symbols, print), frames by their two arcs; letters are measured by
pypdfium2 in the PDF. What a point should show is ``Operation.read`` to 10 mV.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from diagram import printed, truths
from diagram.circuit_sheets import lies
from diagram.lines import read_lines, strokes
from diagram.reader import Reading, mated, read_page
from examples import raw

from harnessdoc.book.draw import draw_sheet, make_context
from harnessdoc.cli.main import harnessdoc
from harnessdoc.diagram.kept import Kept
from harnessdoc.drawing.record import Arc, Box, Drawing, Line, Text
from harnessdoc.operation.operate import Operation, Solved
from harnessdoc.operation.pulsed import pulsed_contacts
from harnessdoc.operation.unsaid import unsaid_in
from harnessdoc.sheets.context import Options, SheetKind
from harnessdoc.steps import Loaded, load

CASES = (("linnet", "run, stopped"), ("linnet", "run, running"), ("heron", "run, running"))
"""Example and state."""
HIGH = 3.9
FARTHEST, NAMED_FARTHEST = 15.5, 30.0
"""A frame is no farther from the point it stands for, in mm; one that says its address."""
VALUE = re.compile(r"-?\d+\.\d\d V|float|pulsed|unknown")
IN_FRAME = re.compile(rf"(?:(\S+): )?({VALUE.pattern})")
"""What stands in a frame: farther off the address of its point first."""


@dataclass(frozen=True)
class Frame:
    """A reading as it is drawn; name: the address it says, "" where it stands at its point."""

    text: str
    box: Box
    name: str = ""


@dataclass(frozen=True)
class Drawn:
    """sheets: the pages of each circuit diagram, plain: the same without readings."""

    operation: Operation
    solved: Solved
    sheets: Mapping[str, tuple[Drawing, ...]]
    plain: Mapping[str, tuple[Drawing, ...]]

    def diagrams(self, sheet: str) -> tuple[Drawing, ...]:
        return self.sheets[sheet][: len(self.plain[sheet])]

    def after(self, sheet: str) -> tuple[Drawing, ...]:
        return self.sheets[sheet][len(self.plain[sheet]):]


@cache
def example(name: str) -> tuple[Loaded, Kept]:
    """A description and what places its diagrams, each once."""
    return load(raw.main_file(name)), Kept()


@cache
def drawn(name: str, state: str) -> Drawn:
    loaded, placer = example(name)
    assert loaded.operation is not None
    solved = loaded.operation.solved[state]
    pages = []
    for options in (Options(state=solved), Options()):
        context = replace(make_context(loaded.version, options), placer=placer)
        pages.append({ref.name: draw_sheet(context, ref).pages for ref in context.sheets if ref.kind is SheetKind.CIRCUIT})
    return Drawn(loaded.operation, solved, *pages)


def frames(drawing: Drawing) -> list[Frame]:
    """Two half circles that face each other, and the text between them."""
    arcs = [mark for mark in drawing.marks if isinstance(mark, Arc) and abs(mark.r - HIGH / 2) < 0.01 and mark.width == 0.25]
    texts = [mark for mark in drawing.marks if isinstance(mark, Text) and IN_FRAME.fullmatch(mark.text)]
    found = []
    for one, two in zip(arcs[::2], arcs[1::2], strict=True):
        assert one.cy == two.cy or one.cx == two.cx
        box = (min(one.cx, two.cx) - one.r, min(one.cy, two.cy) - one.r, max(one.cx, two.cx) + one.r, max(one.cy, two.cy) + one.r)
        (inside,) = [text for text in texts if text.anchor == "middle" and box[0] < text.x < box[2] and box[1] < text.y < box[3]]
        said = IN_FRAME.fullmatch(inside.text)
        assert said
        found.append(Frame(said[2], box, said[1] or ""))
    return found


def should(page: Drawn) -> dict[str, str]:
    """Address -> what is to be read there, of all that may be probed."""
    operation, solved = page.operation, page.solved
    pulsed, unsaid, off = pulsed_contacts(operation), unsaid_in(operation, solved), operation.wiring.nodes.off
    every = [address for address in operation.wiring.harness.contacts if address not in off and address in operation.wiring.nodes.of]
    volts = operation.read(solved, [address for address in every if address not in pulsed and address not in unsaid])
    return {address: "pulsed" if address in pulsed else "unknown" if address in unsaid else "float" if volts[address] is None else f"{volts[address]:.2f} V".replace("-0.00", "0.00")
            for address in every}


def places(reading: Reading) -> dict[str, list[Box]]:
    """Each point of a page by its name: where lines end at it, or its bar."""
    found: dict[str, list[Box]] = {}
    for end in reading.ends:
        found.setdefault(end.name, []).append((*end.point, *end.point))
    for key, name in reading.bars.items():
        line = reading.lines.conductors[key].points if key >= 0 else (reading.lines.dots[-1 - key],)
        found.setdefault(name, []).append((min(x for x, _ in line), line[0][1], max(x for x, _ in line), line[0][1]))
    return found


def apart(one: Box, other: Box) -> float:
    return float(np.hypot(max(one[0] - other[2], other[0] - one[2], 0.0), max(one[1] - other[3], other[1] - one[3], 0.0)))


def listed(page: Drawing) -> dict[str, str]:
    """What the table on a page after the diagrams says."""
    return {address: text for mark in page.marks if isinstance(mark, Text) for address, text in re.findall(rf"(\S+) ((?:{VALUE.pattern})\b)", mark.text)}


def wrong(diagrams: Iterable[Drawing], after: Iterable[Drawing], truth: Mapping[str, str]) -> list[str]:
    """Everything in which the frames and the table of one sheet are not what should be read."""
    table = {address: text for page in after for address, text in listed(page).items() if address in truth or address.count(".")}
    faults = [f"the table says {text} at {address}, solved {truth.get(address)}" for address, text in table.items() if truth.get(address) != text]
    for page in diagrams:
        reading, shown = read_page(page), frames(page)
        at = {name: boxes for name, boxes in places(reading).items() if name in truth}
        told = set(table)
        for frame in (frame for frame in shown if frame.name):
            far = min((apart(frame.box, box) for box in at.get(frame.name, ())), default=np.inf)
            if truth.get(frame.name) != frame.text or far > NAMED_FARTHEST:
                faults.append(f"{frame.text} stands {far:.1f} mm from {frame.name}, which it names, solved {truth.get(frame.name)}")
            told.add(frame.name)
        for frame in (frame for frame in shown if not frame.name):
            name, far = min(((name, min(apart(frame.box, box) for box in boxes)) for name, boxes in at.items()), key=lambda item: item[1])
            if truth[name] != frame.text or far > FARTHEST:
                faults.append(f"{frame.text} stands {far:.1f} mm from {name}, solved {truth[name]}")
            told |= {name for name, boxes in at.items() if truth[name] == frame.text and min(apart(frame.box, box) for box in boxes) < FARTHEST}
        told |= {two for one, other in mated(reading) for one, two in ((one, other), (other, one)) if one in told}
        faults += [f"nothing is told of {name}" for name in at if name not in told]
    return faults


@pytest.mark.parametrize(("name", "state"), CASES)
def test_what_is_printed_at_a_point_is_what_is_solved_there(name: str, state: str):
    page = drawn(name, state)
    truth = should(page)
    assert [f"{sheet}: {fault}" for sheet in page.sheets for fault in wrong(page.diagrams(sheet), page.after(sheet), truth)] == []


@pytest.mark.parametrize(("name", "state"), CASES)
def test_most_points_have_their_frame_beside_them(name: str, state: str):
    """Design choice: nine of ten; the others are in the table."""
    page = drawn(name, state)
    beside = sum(len(frames(diagram)) for sheet in page.sheets for diagram in page.diagrams(sheet))
    assert beside >= 0.9 * (beside + sum(len(listed(table)) for sheet in page.sheets for table in page.after(sheet)))


@pytest.mark.parametrize(("name", "state"), CASES)
def test_the_rest_of_a_page_stands_as_it_does_without_readings(name: str, state: str):
    page = drawn(name, state)
    for sheet, plain in page.plain.items():
        for bare, shown in zip(plain, page.sheets[sheet], strict=False):
            kept = [mark for mark in shown.marks if getattr(mark, "tag", "").partition(":")[0] in ("wire", "node", "label", "tie")]
            assert kept == [mark for mark in bare.marks if getattr(mark, "tag", "").partition(":")[0] in ("wire", "node", "label", "tie")], sheet


@pytest.mark.outside("pypdfium2: boxes of the letters of the PDF")
@pytest.mark.parametrize(("name", "state"), CASES)
def test_no_frame_or_text_lies_over_anything(name: str, state: str):
    faults = []
    both = drawn(name, state)
    for sheet in both.sheets:
        for number, (page, plain) in enumerate(zip(both.diagrams(sheet), both.plain[sheet], strict=True), start=1):
            before = printed.overlaps(plain)
            faults += [f"{sheet} {number}: {fault}" for fault in (*(one for one in printed.overlaps(page) if one not in before), *printed.outside(page), *crossed(page))]
    assert faults == []


def crossed(page: Drawing) -> list[str]:
    """Frames in which anything but their own text is drawn."""
    lines = np.array([(*a, *b, mark.width / 2) for mark in page.marks if getattr(mark, "width", 0) > 0 for a, b in strokes(mark)])
    found = []
    for frame in frames(page):
        inner = (frame.box[0] + 0.2, frame.box[1] + 0.2, frame.box[2] - 0.2, frame.box[3] - 0.2)
        through = lines[printed._crossed(lines, inner)]
        # its own rounding lies at its ends
        found += [f"{frame.text} at {frame.box[:2]} over a line" for line in through
                  if not (min(line[0], line[2]) >= frame.box[0] - 0.01 and max(line[0], line[2]) <= frame.box[2] + 0.01 and min(line[1], line[3]) >= frame.box[1] - 0.01 and max(line[1], line[3]) <= frame.box[3] + 0.01)]
    return found


@pytest.mark.parametrize("name", ["linnet", "heron"])
def test_a_page_with_readings_is_read_back_as_well(name: str):
    page = drawn(name, "run, running")
    assert lies([diagram for sheet in page.sheets for diagram in page.diagrams(sheet)], truths.of_example(name)) == []


# ------------------------------------------------------------ the checks are seen to fail

def test_a_reading_at_the_wrong_point_is_seen():
    """Each frame given another's text."""
    page = drawn("linnet", "run, stopped")
    truth = should(page)
    (diagram,), after = page.diagrams("circuit-starting"), page.after("circuit-starting")
    texts = [mark for mark in diagram.marks if isinstance(mark, Text) and VALUE.fullmatch(mark.text)]
    other = next(mark.text for mark in texts if mark.text != texts[0].text)
    for mark in texts:
        says = other if mark.text != other else texts[0].text
        changed = replace(diagram, marks=tuple(replace(one, text=says) if one is mark else one for one in diagram.marks))
        assert wrong([changed], after, truth), mark.text


def test_a_reading_that_is_left_out_is_seen():
    page = drawn("linnet", "run, stopped")
    sheet = next(sheet for sheet in page.sheets if page.after(sheet))
    diagrams, after = page.diagrams(sheet), page.after(sheet)
    assert after and not wrong(diagrams, after, should(page))
    assert any("nothing is told of" in fault for fault in wrong(diagrams, (), should(page)))


def test_a_line_through_a_frame_is_seen():
    page = drawn("linnet", "run, stopped").sheets["circuit-starting"][0]
    arc = next(mark for mark in page.marks if isinstance(mark, Arc) and abs(mark.r - HIGH / 2) < 0.01 and mark.width == 0.25)
    assert crossed(replace(page, marks=(*page.marks, Line(arc.cx + 2, arc.cy - 9, arc.cx + 2, arc.cy + 9, 0.5))))


# -------------------------------------------------------------------------------- words

def run(*arguments: str):
    return CliRunner().invoke(harnessdoc, arguments)


@pytest.mark.parametrize(("options", "message", "do"), [
    (("circuit-starting", "--state", "run, stoped"), "has no state 'run, stoped'", "did you mean run, stopped?"),
    (("circuit-starting", "--state", "x"), "has no state 'x'", "lists them"),
    (("circuit-starting", "--key", "run", "--no-solve"), "--key asks for readings, and --no-solve leaves the circuit unsolved", "leave one of them out"),
    (("E1", "--state", "run, stopped"), "sheet pinout-E1 is the same in every state; only circuit diagrams show one", "leave the state out, or name one of circuit-supply"),
])
def test_a_state_that_cannot_be_shown_is_refused(tmp_path: Path, options: tuple[str, ...], message: str, do: str):
    result = run("sheet", str(raw.main_file("linnet")), *options, "--out", str(tmp_path))
    assert result.exit_code == 2 and message in result.stderr and do in result.stderr.split("  do: ")[1]
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("paper", ["a4", "a5"])
def test_the_page_says_the_state_and_what_the_supplies_give(tmp_path: Path, paper: str):
    result = run("sheet", str(raw.main_file("linnet")), "circuit-cooling", "--state", "run, running", "--paper", paper, "--out", str(tmp_path))
    assert result.exit_code == 0, result.output
    words = " ".join(re.findall(r">([^<>]+)<", (tmp_path / "circuit-cooling.svg").read_text(encoding="utf-8")))
    page = drawn("linnet", "run, running")
    plus, minus = (page.operation.read(page.solved, [f"G1.{pole}"])[f"G1.{pole}"] for pole in "+-")
    assert minus == 0.0
    assert f"Contacts are drawn at rest; the volts in round frames are those with key run, engine running; G1 gives {plus:.2f} V" in re.sub(r"\s+", " ", words)
    assert "Switches and relays at rest, key off" not in words
