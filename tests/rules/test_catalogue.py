"""docs/rules.md is current, and every failure mode has a rule."""

from __future__ import annotations

from pathlib import Path

import pytest

from harnessdoc.rules.catalogue import catalogue
from harnessdoc.rules.registry import RULES
from harnessdoc.trade.failure_modes import failure_modes

DOCS = Path(__file__).parents[2] / "docs" / "rules.md"


def test_the_page_is_what_the_docstrings_say():
    assert DOCS.read_text(encoding="utf-8") == "\n".join(catalogue()) + "\n", "run `python -m harnessdoc.rules.catalogue > docs/rules.md`"


@pytest.mark.parametrize("mode", failure_modes(), ids=lambda mode: str(mode.number))
def test_every_failure_mode_has_a_rule(mode):
    assert [rule.CODE for rule in RULES if mode.number in rule.MODES]


def test_there_are_sixty():
    assert [mode.number for mode in failure_modes()] == list(range(1, 61))
