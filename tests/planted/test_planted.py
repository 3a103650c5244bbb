"""Forty faults planted in a sound harness from the trade's list of failure modes by somebody who knew no rule: each is found where it lies, and nothing else.

``expected.csv`` gives the failure mode of each, the things and the lines an expert would point at. Invented vehicle.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from harnessdoc.findings import Finding
from harnessdoc.rules.registry import RULES
from harnessdoc.steps import Loaded, load

HERE = Path(__file__).parent
MODES = {rule.CODE: rule.MODES for rule in RULES}
EXPECTED = list(csv.DictReader((HERE / "expected.csv").open(encoding="utf-8")))


@pytest.fixture(scope="module")
def planted() -> Loaded:
    return load(HERE / "planted.yaml")


def fits(finding: Finding, row: dict[str, str]) -> bool:
    """Its rule answers for the mode, and it lies at one of the things or lines."""
    return int(row["mode"]) in MODES[finding.code] and bool(set(finding.at) & set(row["at"].split(" or ")) or str(finding.place.line) in row["line"].split(" or "))


def test_the_sound_harness_has_nothing():
    assert load(HERE / "sound.yaml").findings == ()


@pytest.mark.parametrize("row", EXPECTED, ids=lambda row: f"{row['number']}-mode-{row['mode']}")
def test_each_is_found(planted, row):
    assert [finding.code for finding in planted.findings if fits(finding, row)], row["what"]


def test_nothing_else_is_found(planted):
    assert [finding.message for finding in planted.findings if not any(fits(finding, row) for row in EXPECTED)] == []


def test_there_are_forty_of_forty_modes_and_each_is_one_finding(planted):
    assert len(EXPECTED) == len({row["mode"] for row in EXPECTED}) == 40
    assert len(planted.findings) == 40
