"""The rules: one a module in ``faults/``, found here.

A rule module is named by the fault it finds, and has a docstring with the sections of
``page.SECTIONS``; the constants CODE, SEVERITY (the worst it yields), ASKS (one of ASKED), MODES
(numbers of the failure modes it answers for, of the list in docs/rules.md), OPTIONS where it has
any; and ``check(subject) -> Iterator[Finding | Lack]``, which changes nothing.
"""

from __future__ import annotations

import pkgutil
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import import_module
from types import ModuleType

from ..description.units import UnitFault
from ..findings import Finding, Severity
from ..model.harness import Waiver
from . import faults
from .lack import Lack, Unasked, unasked
from .options import Option
from .subject import Subject
from .waivers import Waived, apply_waivers, name_to_write

ASKED = ("record", "copper", "route", "solved", "sweep")
"""What a rule looks at: the lists as written; what is joined to what; where things lie; the states solved; the states with a ground or fuse opened."""

RULES: tuple[ModuleType, ...] = tuple(import_module(f"{faults.__name__}.{module.name}") for module in pkgutil.iter_modules(faults.__path__))
"""In the order of their names."""

CODES_OF_RULES = frozenset(rule.CODE for rule in RULES)
"""What rules find; every other error means that a file was not understood."""

CODES_OF_LENGTHS = frozenset(("bundle-over-grommet", "loop-without-length", "no-route", "place-off-the-bundle", "section-beyond-segment", "segment-length-unknown",
                              "splice-beyond-the-way", "take-up-unknown", "twisted-beyond-the-way"))
"""What measuring finds; it lies at things, and may be waived as what rules find."""

UNUSED, UNKNOWN_OPTION = "waiver-of-nothing", "no-such-option"


@dataclass(frozen=True, slots=True)
class Checked:
    """What measuring and the rules found, what of it is waived, and what they could not ask."""

    findings: tuple[Finding, ...]
    waived: tuple[Waived, ...]
    unasked: tuple[Unasked, ...]


def check_rules(subject: Subject) -> Checked:
    """What measuring found, then what every rule finds, rule by rule, without what the description waives."""
    findings: list[Finding] = [*subject.geometry.findings, *_options(subject)]
    lacks: list[Lack] = []
    for rule in RULES:
        for found in rule.check(subject):
            (findings if isinstance(found, Finding) else lacks).append(found)   # type: ignore[arg-type]
    # what was accepted of a vehicle as found is not accepted of what the merge does to it
    left, waived, unused = apply_waivers(findings, subject.harness.waivers, lambda waiver: _is_of_a_source(subject, waiver))
    return Checked((*left, *_unused(subject, unused, findings)), tuple(waived), unasked(lacks))


def options_of(rule: ModuleType) -> tuple[Option, ...]:
    """The options of a rule, in its own order; () where it has none."""
    return getattr(rule, "OPTIONS", ())


def _asked(rule: ModuleType, subject: Subject) -> bool:
    """Whether a rule had what it looks at: without a solution none that needs one finds anything."""
    return rule.ASKS not in ("solved", "sweep") or subject.operation is not None


def _is_of_a_source(subject: Subject, waiver: Waiver) -> bool:
    return subject.merge is not None and any(waiver.source.source.path in source.files for source in subject.merge.sources.values())


def _unused(subject: Subject, waivers: list[Waiver], findings: list[Finding]) -> Iterator[Finding]:
    rules = {rule.CODE: rule for rule in RULES}
    for waiver in waivers:
        if _is_of_a_source(subject, waiver):
            continue        # it spoke of the vehicle as found
        rule = rules.get(waiver.code)
        if rule is None and waiver.code not in CODES_OF_LENGTHS:
            words, do = f"a waiver names '{waiver.code}', which is no code of a rule", "`harnessdoc why` lists the codes"
        elif rule is not None and not _asked(rule, subject):
            continue
        else:
            words, do = f"the waiver of {waiver.code} at {waiver.at} matches no finding", name_to_write(waiver, findings)
        yield Finding(UNUSED, Severity.ADVICE, words, waiver.source.place(), do, at=(waiver.at,))


def _options(subject: Subject) -> Iterator[Finding]:
    rules = {rule.CODE: rule for rule in RULES}
    for code, stated in subject.harness.rule_options.items():
        if code not in rules:
            yield Finding(UNKNOWN_OPTION, Severity.ERROR, f"`rules:` names '{code}', which is no code of a rule", stated.place(), "`harnessdoc why` lists the codes")
            continue
        options = {option.name: option for option in options_of(rules[code])}
        for name, text in stated.items():
            if name not in options:
                known = f"it has {', '.join(options)}" if options else "it has none"
                yield Finding(UNKNOWN_OPTION, Severity.ERROR, f"{code} has no option '{name}': {known}", stated.place_of(name), f"`harnessdoc why {code}` prints its page")
            elif isinstance(fault := options[name].read(str(text)), UnitFault):
                yield Finding("bad-quantity", Severity.ERROR, f"{name} of {code}: {fault.message}", stated.place_of(name), fault.do)
