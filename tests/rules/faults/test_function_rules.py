"""What the words at an output name against what its copper leads to: exchanged outputs, and the look-alikes that are left alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from harnessdoc.findings import Finding
from harnessdoc.steps import load

CODE = "function-against-far-end"
EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*/*.yaml"))
UNIT = """\
devices:
  U1: {title: control unit, connectors: [X1]}
  H1: {title: charge lamp, terminals: [1, 2], between: [H1.1, H1.2], lamp: 2 W at 12 V}
  M1: {title: radiator fan, terminals: [1, 2], between: [M1.1, M1.2], motor: 10 A at 12 V}
connectors:
  X1: {face: [[1..4]], view: mating face}
relays:
  K1: {title: start relay, suppression: resistor, part: mini relay 40 A}
  K2: {title: radiator fan relay, suppression: resistor, part: mini relay 40 A}
fuses:
  F1: {rating: 20 A, type: blade}
"""


def found(functions: str, wires: str, unit: str = UNIT, more: str = "") -> list[Finding]:
    """functions: ``start relay | charge lamp``, at X1.1, X1.2 and on; wires: ``X1.1-H1.2``."""
    cavities = "".join(f"  X1.{number}: {{function: {words.strip()}, signal: output-low}}\n" for number, words in enumerate(functions.split("|"), 1) if words.strip())
    listed = "".join(f"  {number}: {{from: {a}, to: {b}, size: 1 mm2, colour: BU, type: TXL}}\n" for number, (a, b) in enumerate((pair.split("-") for pair in wires.split()), 1))
    loaded = load("heron.yaml", {"heron.yaml": f"{unit}cavities:\n{cavities}{more}wires:\n{listed}"})
    assert not loaded.has_errors, loaded.findings
    return [finding for finding in loaded.findings if finding.code == CODE]


def test_two_outputs_that_are_exchanged_are_one_finding():
    (finding,) = found("start relay | charge lamp", "X1.1-H1.2 X1.2-K1.85")
    assert finding.message == "X1.1 is called 'start relay', but its copper leads over wire 1 to charge lamp H1; start relay K1 hangs on X1.2 ('charge lamp')"
    assert finding.do == "if the wires of X1.1 and X1.2 are exchanged put each in the other's place; if only the words are wrong write `function: charge lamp`"
    assert finding.at == ("X1.1", "X1.2", "wire 1", "H1", "K1")
    assert found("start relay | charge lamp", "X1.1-K1.85 X1.2-H1.2") == []


def test_two_relays_that_are_exchanged_are_told_though_they_are_of_one_kind():
    (finding,) = found("start relay | radiator fan relay", "X1.1-K2.85 X1.2-K1.85")
    assert finding.at[:2] == ("X1.1", "X1.2")
    assert found("start relay | ", "X1.1-K2.85") == [], "one alone may be called after what its relay does in another circuit"


@pytest.mark.parametrize(("functions", "wires", "told"), [
    ("starter relay", "X1.1-H1.2 X1.2-K1.85", True),                       # `start` counts as `starter`
    ("start relay", "X1.1-H1.2", True),                                    # what is named has no wire at all
    ("radiator fan", "X1.1-H1.2", True),
    ("radiator fan", "X1.1-K2.85 K2.87-M1.1", False),                      # the fan behind its relay
    ("charge lamp and start relay", "X1.1-K1.85", False),                     # a word of both
    ("lamp", "X1.1-K1.85", False),                                         # a kind alone names nothing
    ("idle valve", "X1.1-H1.2", False),                                    # nothing of that name is there
    ("start relay", "X1.1-F1.1", False),                                   # it leads to nothing that takes current
])
def test_what_is_told_and_what_is_left_alone(functions, wires, told):
    assert bool(found(functions, wires)) is told


def test_what_is_named_may_lie_behind_a_relay_that_is_called_after_another_thing():
    one_relay = "".join(line for line in UNIT.splitlines(keepends=True) if "K2" not in line)
    assert found("radiator fan", "X1.1-K1.85 K1.87-M1.1", one_relay) == []
    assert len(found("radiator fan", "X1.1-K1.85 K1.30-M1.1", one_relay)) == 1


def test_a_contact_on_the_way_that_is_called_so_too_is_no_fault():
    halves = UNIT.replace("connectors:\n", "connectors:\n  X8: {half: plug, face: [[1]], view: mating face, mates: X9}\n  X9: {half: socket, face: [[1]], view: mating face}\n")
    over = "X1.1-X8.1 X9.1-H1.2"
    assert len(found("start relay", over, halves)) == 1
    assert found("start relay", over, halves, "  X9.1: {function: to start}\n") == []


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_examples_have_none(path):
    assert [finding for finding in load(path, solve=False).findings if finding.code == CODE] == []
