"""Every rule: its page, the examples in it, and what its findings say. What else a rule finds stands in ``faults/``."""

from __future__ import annotations

import difflib
import inspect
import pkgutil
import re
import textwrap

import pytest

from harnessdoc.findings import Finding, Severity
from harnessdoc.rules import faults
from harnessdoc.rules.options import Option
from harnessdoc.rules.page import MARK, SECTIONS, sections_of
from harnessdoc.rules.registry import ASKED, RULES, options_of
from harnessdoc.steps import Loaded, load

ORIGINS = ("common practice", "from memory", "design choice")
PER_RULE = pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.CODE)


def example(rule, section: str) -> str:
    return textwrap.dedent(sections_of(rule)[section]) + "\n"


def loaded(text: str) -> Loaded:
    return load("heron.yaml", {"heron.yaml": text})


def marked_line(text: str) -> int:
    (line,) = (number for number, line in enumerate(text.splitlines(), 1) if line.rstrip().endswith(MARK))
    return line


def words_of(text: str) -> list[str]:
    """Words, numbers with their units, and addresses, as a message has them."""
    return re.findall(r"[A-Za-z0-9_.+/-]+", text)


def test_every_module_of_the_room_is_a_rule():
    assert {module.name for module in pkgutil.iter_modules(faults.__path__)} == {rule.CODE.replace("-", "_") for rule in RULES}


@PER_RULE
def test_a_rule_has_its_page_and_says_what_it_is(rule):
    sections = sections_of(rule)
    assert list(sections) == ["title", *SECTIONS]
    assert all(sections.values())
    assert isinstance(rule.SEVERITY, Severity)
    assert rule.ASKS in ASKED
    assert all(1 <= mode <= 60 for mode in rule.MODES)
    assert inspect.isgeneratorfunction(rule.check)


@PER_RULE
def test_the_options_of_a_rule_can_be_read_and_say_where_they_come_from(rule):
    for option in options_of(rule):
        assert isinstance(option, Option) and option.code == rule.CODE
        assert not hasattr(option.read(option.default), "do")
        assert option.meaning and option.origin


@PER_RULE
def test_the_page_names_a_source(rule):
    said = sections_of(rule)["Limits and source"].casefold()
    assert any(origin in said for origin in ORIGINS) or re.search(r"\b(iso|sae|iec|din|cfr|ac 43|abyc|read in|worked out|table|standard|published)\b", said)


@PER_RULE
def test_the_failing_example_yields_its_code_once_where_it_is_marked_and_nothing_else(rule):
    text = example(rule, "Example that fails")
    (finding,) = loaded(text).findings
    assert finding.code == rule.CODE
    assert finding.place.line == marked_line(text)
    assert finding.severity is rule.SEVERITY
    assert finding.at


@PER_RULE
def test_what_the_failing_example_says_is_what_the_page_says(rule):
    (finding,) = loaded(example(rule, "Example that fails")).findings
    assert " ".join(sections_of(rule)["What it says"].split()) == finding.message


@PER_RULE
def test_the_passing_example_is_the_failing_one_with_the_fix_and_yields_nothing(rule):
    failing, passing = example(rule, "Example that fails").replace(MARK, ""), example(rule, "Example that passes")
    assert loaded(passing).findings == ()
    (finding,) = loaded(example(rule, "Example that fails")).findings
    before, after = ([line.rstrip() for line in text.splitlines()] for text in (failing, passing))
    changed = [line for line in difflib.ndiff(before, after) if line[:2] in ("- ", "+ ")]
    assert 1 <= len(changed) <= 8
    old, new = (set(words_of("\n".join(line[2:] for line in changed if line[0] == sign))) for sign in "-+")
    # What the fix puts in, or takes out, stands in the way out that is printed.
    assert (new ^ old) & set(words_of(f"{finding.do} {finding.message}")), f"none of {sorted(new ^ old)} in {finding.do!r}"


@PER_RULE
def test_a_finding_names_what_it_lies_at_as_the_harness_does(rule):
    text = example(rule, "Example that fails")
    harness = loaded(text).harness
    (finding,) = loaded(text).findings
    assert all(is_a_thing(harness, name) for name in finding.at), finding.at


def is_a_thing(harness, name: str) -> bool:
    """Whether a finding or a waiver may name it so."""
    kinds = {"wire": harness.wires, "segment": harness.segments, "circuit": harness.circuits, "pair": harness.pairs, "cable": harness.cables, "place": harness.points, "state": harness.states}
    kind, _, id = name.partition(" ")
    if kind in kinds and id:
        return id in kinds[kind]
    owners = (harness.contacts, harness.connectors, harness.devices, harness.boxes, harness.parts, harness.splices, harness.grounds)
    return any(name in group for group in owners) or name == "description"


@PER_RULE
def test_a_state_that_is_named_exists(rule):
    run = loaded(example(rule, "Example that fails"))
    (finding,) = run.findings
    assert not finding.state or finding.state in run.operation.solved


def test_findings_come_sorted_by_place():
    text = ("connectors:\n  X1: {face: [[1..3]], view: mating face}\n  X2: {face: [[1..3]], view: mating face}\n"
            "wires:\n  1: {from: X1.1, to: unknown}\n  2: {from: X1.1, to: X9.1}\nsplices:\n  S1: {}\n")
    findings: tuple[Finding, ...] = loaded(text).findings
    assert [finding.place for finding in findings] == sorted(finding.place for finding in findings)
    assert {finding.code for finding in findings} == {"not-known-yet", "cavity-used-twice", "no-such-connector", "splice-of-one"}
