"""For tests: the failing example of a rule with a few words changed, and what its rule makes of it."""

from __future__ import annotations

import textwrap

from harnessdoc.findings import Finding
from harnessdoc.rules.page import sections_of
from harnessdoc.rules.registry import RULES
from harnessdoc.steps import Loaded, load


def edited(code: str, *changes: tuple[str, str]) -> Loaded:
    """The example loaded after each (old, new), all of which must be found in it."""
    (rule,) = (rule for rule in RULES if code == rule.CODE)
    text = textwrap.dedent(sections_of(rule)["Example that fails"]) + "\n"
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    loaded = load("heron.yaml", {"heron.yaml": text})
    assert not loaded.has_errors, loaded.findings
    return loaded


def found(code: str, *changes: tuple[str, str]) -> list[Finding]:
    """What the rule finds in it."""
    return [finding for finding in edited(code, *changes).findings if finding.code == code]


def lacking(code: str, *changes: tuple[str, str]) -> list[tuple[str, ...]]:
    """The things the rule could not ask of, in it; nothing may be found then."""
    loaded = edited(code, *changes)
    assert [finding for finding in loaded.findings if finding.code == code] == []
    return [unasked.things for unasked in loaded.unasked if unasked.code == code]
