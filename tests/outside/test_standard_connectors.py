"""Assignments of connectors against the published ones, written out here (the standards as quoted, not the standards)."""

from __future__ import annotations

import pytest

from harnessdoc.trade.standard_connectors import standard_connectors


def assigned(standard: str) -> dict[str, tuple[str, str]]:
    """Cavity -> function, colour."""
    return {c.cavity: (c.function, c.colour) for c in standard_connectors()[standard].cavities}


@pytest.mark.outside("ISO 1724 (12N), four publications of the assignment")
def test_iso_1724():
    got = {c.cavity: (c.label, c.function, c.colour, c.size) for c in standard_connectors()["ISO 1724"].cavities}
    assert got == {
        "1": ("L", "left turn", "YE", "1.5 mm2"),
        "2": ("54G", "rear fog", "BU", "1.5 mm2"),
        "3": ("31", "ground", "WH", "2.5 mm2"),
        "4": ("R", "right turn", "GN", "1.5 mm2"),
        "5": ("58R", "right tail, number plate", "BN", "1.5 mm2"),
        "6": ("54", "stop", "RD", "1.5 mm2"),
        "7": ("58L", "left tail, number plate", "BK", "1.5 mm2"),
    }


@pytest.mark.outside("SAE J1962 / ISO 15031-3, three publications of the assignment")
def test_sae_j1962():
    got = {c.cavity: (c.function, c.signal) for c in standard_connectors()["SAE J1962"].cavities}
    own = ("maker's own use", "maker")
    assert got == {
        "1": own, "2": ("J1850 bus +", "j1850-plus"), "3": own, "4": ("chassis ground", "ground-power"),
        "5": ("signal ground", "ground-signal"), "6": ("CAN high", "can-high"), "7": ("K-line", "k-line"), "8": own,
        "9": own, "10": ("J1850 bus -", "j1850-minus"), "11": own, "12": own,
        "13": own, "14": ("CAN low", "can-low"), "15": ("L-line", "l-line"), "16": ("battery +", "source-constant"),
    }


@pytest.mark.outside("ISO 3732 (12S), three publications of the assignment")
def test_iso_3732():
    got = assigned("ISO 3732")
    assert {k: v[1] for k, v in got.items()} == {"1": "YE", "2": "BU", "3": "WH", "4": "GN", "5": "BN", "6": "RD", "7": "BK"}
    assert (got["1"][0], got["3"][0], got["4"][0], got["7"][0]) == ("reversing", "ground for 2 and 4", "permanent supply", "ground for 6")


@pytest.mark.outside("ISO 11446 (13 pins), four publications of the assignment")
def test_iso_11446():
    got = assigned("ISO 11446")
    assert list(got) == [str(n) for n in range(1, 14)]
    # 1 to 7 as in ISO 1724; the colours of 8 to 13 vary and are left open.
    assert [got[str(n)][1] for n in range(1, 14)] == ["YE", "BU", "WH", "GN", "BN", "RD", "BK", "", "", "", "", "", ""]
    assert [got[n][0] for n in ("3", "8", "9", "11", "13")] == ["ground for 1 to 8", "reversing", "permanent supply", "ground for 10", "ground for 9"]


@pytest.mark.outside("SAE J560, a table citing the standard and a connector maker")
def test_sae_j560():
    assert {k: v[1] for k, v in assigned("SAE J560").items()} == {"1": "WH", "2": "BK", "3": "YE", "4": "RD", "5": "GN", "6": "BN", "7": "BU"}
    assert {k: v[0] for k, v in assigned("SAE J560").items()}["4"] == "stop"


@pytest.mark.outside("SAE J2863, two publications of the assignment")
def test_sae_j2863():
    got = assigned("SAE J2863")
    assert {k: v[1] for k, v in got.items()} == {"1": "WH", "2": "BU", "3": "BN", "4": "BK", "5": "YE", "6": "GN", "7": "VT"}
    assert (got["2"][0], got["7"][0]) == ("electric brake", "reversing")


@pytest.mark.outside("SAE J1939-13, three publications of the assignment")
def test_sae_j1939_13():
    got = {c.cavity: c.signal for c in standard_connectors()["SAE J1939-13"].cavities}
    assert got == {"A": "ground-power", "B": "source-constant", "C": "can-high", "D": "can-low", "E": "shield", "F": "j1708-plus", "G": "j1708-minus", "H": "maker", "J": "maker"}
