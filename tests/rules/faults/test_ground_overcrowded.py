"""Ground studs: how many eyelets, hinged metal, a signal ground beside a heavy load."""

from __future__ import annotations

import pytest

from harnessdoc.findings import Finding, Severity
from harnessdoc.steps import Loaded, load

CODE = "ground-overcrowded"
KNOWN = "colour: BN, type: XLPE 125 C"


def run(text: str) -> Loaded:
    return load("heron.yaml", {"heron.yaml": text})


def found(loaded: Loaded) -> list[Finding]:
    assert not loaded.has_errors, loaded.findings
    return [finding for finding in loaded.findings if finding.code == CODE]


def studs(eyelets: int, grounds: str = "  GB1: {metal: body}\n", more: str = "") -> str:
    wires = "".join(f"  {n}: {{from: X1.{n}, to: GB1, size: {2.5 if n == 1 else n} mm2, {KNOWN}}}\n" for n in range(1, eyelets + 1))
    return f"connectors:\n  X1: {{face: [[1..9]], view: mating face}}\ngrounds:\n{grounds}wires:\n{wires}{more}"


@pytest.mark.parametrize(("eyelets", "count"), [(1, 0), (2, 0), (3, 1), (5, 1)])
def test_the_eyelets_of_a_stud(eyelets: int, count: int):
    assert len(found(run(studs(eyelets)))) == count


def test_the_thinnest_move_to_a_stud_with_room_or_to_a_new_one():
    (finding,) = found(run(studs(3)))
    assert (finding.severity, finding.value, finding.limit, finding.at) == (Severity.MALFUNCTION, "3 eyelets", "2 eyelets", ("GB1", "wire 1", "wire 2", "wire 3"))
    assert finding.do == "lead wire 2 to a stud of its own, GB2, on the same metal"     # 2.5, 2 and 3 mm2: the second is the thinnest
    other = found(run(studs(3, "  GB1: {metal: body}\n  GB2: {metal: engine}\n  GB3: {metal: body}\n")))[0]
    assert other.do == "lead wire 2 to ground GB3"
    assert "or gather them in a splice" in found(run(studs(5)))[0].do


def test_the_option_says_how_many():
    assert found(run(studs(4, more=f"rules: {{{CODE}: {{eyelets: 4}}}}\n"))) == []
    assert len(found(run(studs(2, more=f"rules: {{{CODE}: {{eyelets: 1}}}}\n")))) == 1


@pytest.mark.parametrize(("eyelets", "hinged", "count"), [(1, "true", 1), (1, "false", 0), (0, "true", 0)])
def test_hinged_metal_is_no_ground(eyelets: int, hinged: str, count: int):
    text = studs(eyelets, f"  GB1: {{metal: body, hinged: {hinged}}}\n") if eyelets else f"grounds:\n  GB1: {{metal: body, hinged: {hinged}}}\n"
    findings = found(run(text))
    assert len(findings) == count
    assert all("lead wire 1 past the hinge" in finding.do and finding.at == ("GB1", "wire 1") for finding in findings)


MIXED = """\
devices:
  U1: {{connectors: [X1]}}
  M1: {{connectors: [X2], between: [X2.1, X2.2], {load}}}
connectors:
  X1: {{face: [[1..2]], view: mating face}}
  X2: {{face: [[1..2]], view: mating face}}
cavities:
  X1.1: {{signal: {signal}}}
  {pin}.2: {{signal: {other}}}
grounds:
  GB1: {{metal: body}}
splices:
  S1: {{}}
wires:
  1: {{from: X1.1, to: GB1, size: 0.5 mm2, colour: BN, type: XLPE 125 C}}
  2: {{from: {pin}.2, to: S1, size: 2.5 mm2, colour: BN, type: XLPE 125 C}}
  3: {{from: S1, to: GB1, size: 2.5 mm2, colour: BN, type: XLPE 125 C}}
"""


@pytest.mark.parametrize(("load", "signal", "pin", "count"), [
    ("motor: 16 A at 12 V", "ground-signal", "X2", 1),
    ("motor: 5 A at 12 V", "ground-signal", "X2", 0),
    ("load: 2 ohm", "ground-signal", "X2", 1),                # 6 A at 12 V
    ("motor: 16 A at 12 V", "ground-power", "X2", 0),         # a power ground may stand beside it
    ("motor: 16 A at 12 V", "ground-signal", "X1", 0),        # its own unit may
])
def test_a_signal_ground_beside_a_heavy_load(load: str, signal: str, pin: str, count: int):
    findings = found(run(MIXED.format(load=load, signal=signal, pin=pin, other="ground-power")))
    assert len(findings) == count
    if findings:
        assert findings[0].at == ("GB1", "wire 1", "wire 3", "X1.1") and findings[0].limit == "5 A"


def test_what_a_load_is_said_to_draw_counts():
    text = MIXED.format(load="motor: 1 A at 12 V", signal="ground-signal", pin="X2", other="ground-power, draws: 8 A")
    assert [finding.value for finding in found(run(text))] == ["9.00 A"]
    assert found(run(text.replace("X2.2: {signal", "X1.2: {signal").replace("from: X2.2", "from: X1.2"))) == []      # what its own unit takes there


def test_the_current_of_a_solved_circuit_counts_before_what_is_stated():
    text = MIXED.format(load="motor: 16 A at 12 V", signal="ground-signal", pin="X2", other="ground-power")
    battery = ('  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}\nconnectors:\n')
    solved = text.replace("connectors:\n", battery).replace("wires:\n", "fuses:\n  F1: {rating: 25 A, type: blade}\nwires:\n") + "".join(
        f"  {n}: {{from: {a}, to: {b}, size: {size} mm2, colour: RD, type: XLPE 125 C, length: 300 mm}}\n"
        for n, a, b, size in ((4, "G1.+", "F1.1", 4), (5, "F1.2", "X2.1", 4), (6, "G1.-", "GB1", 16)))
    loaded = run(solved)
    assert loaded.operation is not None and any(one.solution for one in loaded.operation.solved.values())
    (mixed,) = (finding for finding in found(loaded) if "signal ground" in finding.message)
    assert 14 < float(mixed.value.removesuffix(" A")) < 18 and mixed.value != "16.0 A"
