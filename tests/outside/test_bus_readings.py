"""What a CAN bus measures between high and low with the battery off, and how near fuel a bundle may run, as published."""

from __future__ import annotations

import pytest

from harnessdoc.steps import load


def bus(ohms: tuple[int, ...]) -> list[str]:
    ids = range(1, len(ohms) + 1)
    text = ("devices:\n" + "".join(f"  U{n}: {{connectors: [X{n}], loads: {{t: {{between: [X{n}.1, X{n}.2], load: {ohm} ohm}}}}}}\n" for n, ohm in zip(ids, ohms, strict=True))
            + "connectors:\n" + "".join(f"  X{n}: {{face: [[1..2]], view: mating face}}\n" for n in ids)
            + "cavities:\n  X1.1: {signal: can-high}\n  X1.2: {signal: can-low}\nsplices:\n  S1: {}\n  S2: {}\nwires:\n"
            + "".join(f"  {n}{pin}: {{from: X{n}.{pin}, to: S{pin}, size: 0.5 mm2, colour: YE, type: TXL}}\n" for n in ids for pin in (1, 2)))
    return [finding.value for finding in load("bus.yaml", {"bus.yaml": text}).findings if finding.code == "terminator-count"]


@pytest.mark.outside("CAN at a diagnostic socket, battery off: 60 ohm good, 120 ohm one terminator missing, 40 ohm one too many (published guides)")
@pytest.mark.parametrize(("ohms", "reads"), [((120, 120), []), ((120, 10_000), ["120 ohm"]), ((120, 120, 120), ["40 ohm"])])
def test_the_reading_of_a_bus_by_its_terminators(ohms: tuple[int, ...], reads: list[str]):
    assert bus(ohms) == reads


@pytest.mark.outside("aircraft wiring manual: at least 6 in from fuel, never under 2 in")
@pytest.mark.parametrize(("stated", "count", "never"), [("6 in", 0, False), ("5.9 in", 1, False), ("2.1 in", 1, False), ("1.9 in", 1, True)])
def test_the_distance_from_fuel(stated: str, count: int, never: bool):
    text = f"segments:\n  T1: {{from: P1, to: P2, length: 1 m, near: {{fuel: {stated}}}}}\nplaces:\n  P1: {{}}\n  P2: {{}}\n"
    findings = [finding for finding in load("t.yaml", {"t.yaml": text}).findings if finding.code == "too-near"]
    assert len(findings) == count
    assert any("must not stay" in finding.do for finding in findings) is never
