"""The terminators of a CAN bus, its stubs and its trunk: counts, ohms, lengths, and what is left alone."""

from __future__ import annotations

import pytest

from harnessdoc.findings import Finding, Severity
from harnessdoc.steps import Loaded, load

COUNT, STUB = "terminator-count", "stub-too-long"


def run(ohms: tuple[float | None, ...] = (120, None, 120), stub_mm: float | None = 500, trunk_mm: float = 1000, rate: str = "250 kbit/s", more: str = "",
        parts: str = "", extra: str = "") -> Loaded:
    """U1 - S1 - U3 with U2 on a stub at S1; on the low side S2."""
    devices = "".join(f"  U{n}: {{connectors: [X{n}]" + (f", loads: {{terminator: {{between: [X{n}.1, X{n}.2], load: {ohm:g} ohm}}}}" if ohm else "") + "}\n"
                      for n, ohm in enumerate(ohms, 1))
    connectors = "".join(f"  X{n}: {{face: [[1..3]], view: mating face}}\n" for n in range(1, len(ohms) + 1))
    cavities = "".join(f"  X{n}.1: {{signal: can-high, bit-rate: {rate}}}\n  X{n}.2: {{signal: can-low, bit-rate: {rate}}}\n" for n in range(1, len(ohms) + 1))

    def wires(n: int, length: float | None, to: tuple[str, str] = ("S1", "S2")) -> str:
        said = f", length: {length:g} mm" if length is not None else ""
        return "".join(f"  {n}{side}: {{from: X{n}.{1 if side == 'h' else 2}, to: {splice}, size: 0.5 mm2, colour: YE, type: TXL, pair: PR{n}{said}}}\n" for side, splice in zip("hl", to, strict=True))

    connectors_and_parts, _, more_cavities = parts.partition("cavities:\n")
    text = (f"devices:\n{devices}connectors:\n{connectors}{connectors_and_parts}cavities:\n{cavities}{more_cavities}splices:\n  S1: {{}}\n  S2: {{}}\n{extra}pairs:\n"
            + "".join(f"  PR{n}: {{lay: 20 mm}}\n" for n in range(1, len(ohms) + 1)) + "wires:\n"
            + "".join(wires(n, stub_mm if n == 2 else trunk_mm) for n in range(1, len(ohms) + 1)) + more)
    return load("heron.yaml", {"heron.yaml": text})


def found(loaded: Loaded, code: str) -> list[Finding]:
    assert not loaded.has_errors, loaded.findings
    return [finding for finding in loaded.findings if finding.code == code]


def lacks(loaded: Loaded, code: str) -> list[tuple[str, ...]]:
    return [unasked.things for unasked in loaded.unasked if unasked.code == code]


# -------------------------------------------------------------------------- terminators

@pytest.mark.parametrize(("ohms", "value"), [
    ((120, None, 120), None), ((100, None, 130), None), ((124, 47000, 118), None),
    ((120, 120, 120), "40 ohm"), ((120, None, None), "120 ohm"), ((60, None, None), "60 ohm"), ((120, None, 60), "40 ohm"), ((120, None, 1200), "109 ohm"),
    ((120, None, 99), "54.2 ohm"), ((120, None, 131), "62.6 ohm"), ((120, 60, 120), "30 ohm"),
])
def test_two_terminators_of_120_ohm(ohms: tuple[float | None, ...], value: str | None):
    findings = found(run(ohms), COUNT)
    assert [finding.value for finding in findings] == ([] if value is None else [value])
    assert all((finding.severity, finding.limit) == (Severity.MALFUNCTION, "60 ohm") for finding in findings)


@pytest.mark.parametrize(("ohms", "first", "do"), [
    ((120, 120, 120), "U2", "take the 120 ohm out of U2; those at the ends of the bus stay, in U1 and U3"),
    ((120, 60, 120), "U2", "take the 60 ohm out of U2; those at the ends of the bus stay, in U1 and U3"),
    ((60, 120, 120), "U2", "take the 120 ohm out of U2; those at the ends of the bus stay, in U3 and U1, with 120 ohm each"),
    ((120, None, 1200), "U3", "put 120 ohm in place of 1200 ohm in U3"),
    ((120, None, None), "U3", "put 120 ohm between X3.1 and X3.2 in U3, the end farthest from U1; where it is there, state it: `load: 120 ohm`"),
    ((None, 120, None), "U1", "put 120 ohm between X1.1 and X1.2 in U1, the end farthest from U2; where it is there, state it: `load: 120 ohm`"),
    ((60, None, None), "U3", "put 120 ohm in place of 60 ohm in U1; put 120 ohm between X3.1 and X3.2 in U3, the end farthest from U1; where it is there, state it: `load: 120 ohm`"),
])
def test_which_terminator_goes_and_where_one_is_missing(ohms: tuple[float | None, ...], first: str, do: str):
    (finding,) = found(run(ohms), COUNT)
    assert (finding.at[0], finding.do) == (first, do)
    assert finding.place.line == int(first[1]) + 1


def test_a_bus_without_any_stated_is_asked_and_not_blamed():
    loaded = run((None, None, None))
    assert found(loaded, COUNT) == [] and lacks(loaded, COUNT) == [("X1.1",)]


PLUG = "  X9: {face: [[1..16]], view: mating face}\n"


def to_plug(high: int, low: int) -> str:
    return "".join(f"  9{side}: {{from: {splice}, to: X9.{pin}, size: 0.5 mm2, colour: YE, type: TXL, length: 100 mm}}\n" for side, splice, pin in (("h", "S1", high), ("l", "S2", low)))


@pytest.mark.parametrize(("parts", "more"), [
    ("", "  9: {from: S1, to: unknown, size: 0.5 mm2, colour: YE, type: TXL}\n"),
    (PLUG, to_plug(1, 2)),
    (PLUG + "cavities:\n  X9.1: {signal: can-high}\n  X9.2: {signal: can-low}\n", to_plug(1, 2)),
    (PLUG, to_plug(6, 14)),         # nothing says what it is
])
def test_a_bus_that_runs_on_unseen_is_not_blamed_for_one(parts: str, more: str):
    loaded = run((120, None, None), parts=parts, more=more)
    assert found(loaded, COUNT) == [] and lacks(loaded, COUNT) == [("X1.1",)]
    assert [finding.value for finding in found(run((120, 120, 120), parts=parts, more=more), COUNT)] == ["40 ohm"]     # three are too many wherever it leads


def test_a_diagnostic_socket_does_not_carry_the_bus_on():
    parts = PLUG + "cavities:\n  X9.6: {signal: can-high}\n  X9.14: {signal: can-low}\n"
    (finding,) = found(run((120, None, None), parts=parts, more=to_plug(6, 14)), COUNT)
    assert finding.value == "120 ohm" and finding.at[0] == "U3"


def test_resistors_as_parts_count_and_two_halves_are_one():
    parts = "resistors:\n  R1: {value: 60 ohm}\n  R2: {value: 60 ohm}\n"
    more = "".join(f"  r{n}: {{from: {a}, to: {b}, size: 0.5 mm2, colour: YE, type: TXL, length: 20 mm}}\n" for n, (a, b) in enumerate((("S1", "R1.1"), ("R1.2", "R2.1"), ("R2.2", "S2")), 1))
    assert found(run((120, None, None), parts=parts, more=more), COUNT) == []
    (finding,) = found(run((120, None, 120), parts=parts, more=more), COUNT)
    assert "60 and 60 ohm in series in R1 and R2" in finding.message and finding.value == "40 ohm"


def test_the_options_of_a_terminator():
    assert found(run((120, None, 150), more=f"rules: {{{COUNT}: {{most: 150 ohm}}}}\n"), COUNT) == []
    assert len(found(run((120, None, 110), more=f"rules: {{{COUNT}: {{least: 115 ohm}}}}\n"), COUNT)) == 1


def test_two_buses_of_one_unit_are_two():
    text = """\
devices:
  U1: {connectors: [X1], loads: {a: {between: [X1.1, X1.2], load: 120 ohm}, b: {between: [X1.3, X1.4], load: 120 ohm}}}
  U2: {connectors: [X2], loads: {t: {between: [X2.1, X2.2], load: 120 ohm}}}
  U3: {connectors: [X3], loads: {t: {between: [X3.1, X3.2], load: 120 ohm}}}
connectors:
  X1: {face: [[1..4]], view: mating face}
  X2: {face: [[1..2]], view: mating face}
  X3: {face: [[1..2]], view: mating face}
cavities:
  X1.1: {signal: can-high, bus: engine}
  X1.2: {signal: can-low, bus: engine}
  X1.3: {signal: can-high, bus: body}
  X1.4: {signal: can-low, bus: body}
wires:
  1: {from: X1.1, to: X2.1, size: 0.5 mm2, colour: YE, type: TXL}
  2: {from: X1.2, to: X2.2, size: 0.5 mm2, colour: GN, type: TXL}
  3: {from: X1.3, to: X3.1, size: 0.5 mm2, colour: YE, type: TXL}
  4: {from: X1.4, to: X3.2, size: 0.5 mm2, colour: GN, type: TXL}
"""
    assert found(load("heron.yaml", {"heron.yaml": text}), COUNT) == []
    (finding,) = found(load("heron.yaml", {"heron.yaml": text.replace("X3.1, X3.2], load: 120", "X3.1, X3.2], load: 12")}), COUNT)
    assert "CAN bus body" in finding.message and finding.at[0] == "U3"


# -------------------------------------------------------------------------------- stubs

@pytest.mark.parametrize(("stub_mm", "rate", "count"), [
    (1000, "250 kbit/s", 0), (1001, "250 kbit/s", 1), (1000, "500 kbit/s", 0), (300, "1 Mbit/s", 0), (301, "1 Mbit/s", 1), (1001, "125 kbit/s", 1),
])
def test_how_long_a_stub_may_be(stub_mm: float, rate: str, count: int):
    findings = found(run(stub_mm=stub_mm, rate=rate), STUB)
    assert len(findings) == count
    assert all(finding.at == ("wire 2h", "X2") and f"at {rate}" in finding.message for finding in findings)


def test_a_long_trunk_is_no_stub_and_the_worst_stub_is_told_first():
    assert found(run(trunk_mm=15_000), STUB) == []
    (finding,) = found(run((120, None, 120, None), stub_mm=1100, trunk_mm=1500), STUB)
    assert finding.message == "2 stubs of the CAN bus are too long: 1500 mm to X4 (wire 4h) and 1100 mm to X2 (wire 2h), where 1000 mm are the most at 250 kbit/s"
    assert (finding.value, finding.limit, finding.at[0]) == ("1500 mm", "1000 mm", "wire 4h")


def test_the_trunk_is_at_most_40_m():
    assert found(run(trunk_mm=20_000), STUB) == []
    (finding,) = found(run(trunk_mm=20_001), STUB)
    assert (finding.value, finding.limit) == ("40.0 m", "40 m") and "from X1.1 to X3.1" in finding.message


def test_a_stub_on_a_stub_is_advice_where_it_is_short():
    fork = "  S3: {}\n  S4: {}\n"
    more = "".join(f"  5{side}: {{from: S3, to: X4.{pin}, size: 0.5 mm2, colour: YE, type: TXL, length: 200 mm}}\n".replace("S3", splice) for side, pin, splice in (("h", 1, "S3"), ("l", 2, "S4")))
    more += "".join(f"  6{side}: {{from: {a}, to: {b}, size: 0.5 mm2, colour: YE, type: TXL, length: LONG mm}}\n" for side, a, b in (("h", "S1", "S3"), ("l", "S2", "S4")))
    more += "".join(f"  7{side}: {{from: {a}, to: X5.{pin}, size: 0.5 mm2, colour: YE, type: TXL, length: 100 mm}}\n" for side, a, pin in (("h", "S3", 1), ("l", "S4", 2)))
    parts = "  X4: {face: [[1..2]], view: mating face}\n  X5: {face: [[1..2]], view: mating face}\n"
    (short,) = found(run(parts=parts, extra=fork, more=more.replace("LONG", "300")), STUB)
    assert short.severity is Severity.ADVICE and short.at[0] == "S3" and "a stub on a stub" in short.message
    (long,) = found(run(parts=parts, extra=fork, more=more.replace("LONG", "900")), STUB)
    assert long.severity is Severity.MALFUNCTION and long.value == "1100 mm" and "it branches at S3 besides" in long.message


def test_without_terminators_the_two_farthest_members_are_the_ends():
    assert found(run((None, None, None), stub_mm=400), STUB) == []
    assert [finding.value for finding in found(run((None, None, None), stub_mm=1100, trunk_mm=1200), STUB)] == ["1100 mm"]


def test_a_stub_of_unknown_length_is_asked():
    loaded = run(stub_mm=None)
    assert found(loaded, STUB) == [] and lacks(loaded, STUB) == [("wire 2h",)]


def test_the_options_of_a_stub():
    assert found(run(stub_mm=2500, more=f"rules: {{{STUB}: {{most: 3 m}}}}\n"), STUB) == []
    assert len(found(run(stub_mm=250, rate="1 Mbit/s", more=f"rules: {{{STUB}: {{most-fast: 200 mm}}}}\n"), STUB)) == 1
    assert len(found(run(trunk_mm=16_000, more=f"rules: {{{STUB}: {{trunk: 30 m}}}}\n"), STUB)) == 1
