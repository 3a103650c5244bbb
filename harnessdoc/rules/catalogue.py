"""The catalogue of the rules, made from their docstrings: ``python -m harnessdoc.rules.catalogue > docs/rules.md``."""

from __future__ import annotations

from collections.abc import Iterator
from types import ModuleType

from ..trade.failure_modes import failure_modes
from .codes import HEADINGS
from .page import SECTIONS, sections_of
from .registry import RULES, options_of

_EXAMPLES = ("Example that fails", "Example that passes")
_HEAD = """\
# The rules

Made from the docstrings in `harnessdoc/rules/faults/` by `python -m harnessdoc.rules.catalogue`; do not edit.

`harnessdoc check FILE` runs them all, `harnessdoc why CODE` prints the page of one. Options stand in
the description under `rules:`; a finding that was looked at and is accepted gets a line under `waivers:`.
A rule that misses something the description could say finds nothing, and says once what to add."""


def catalogue() -> Iterator[str]:
    """Every line: which rule answers for which failure mode, then each rule by what it looks at."""
    yield from (_HEAD, "", "## Failure modes and their rules", "", "| no. | failure mode | severity | rules |", "|---|---|---|---|")
    for mode in failure_modes():
        rules = ", ".join(f"[{rule.CODE}](#{rule.CODE})" for rule in RULES if mode.number in rule.MODES)
        yield f"| {mode.number} | {mode.words} | {mode.severity} | {rules} |"
    for asks, heading in HEADINGS.items():
        yield from ("", f"## {heading}")
        for rule in RULES:
            if rule.ASKS == asks:
                yield from _rule(rule)


def _rule(rule: ModuleType) -> Iterator[str]:
    said = sections_of(rule)
    modes = f"; failure mode{'s' if len(rule.MODES) > 1 else ''} {', '.join(map(str, rule.MODES))}" if rule.MODES else ""
    yield from ("", f"### {rule.CODE}", "", f"**{said['title']}** Severity: {rule.SEVERITY.word}{modes}.")
    for section in SECTIONS:
        text = said[section]
        if section in _EXAMPLES:
            yield from ("", f"{section}:", "", "```yaml", *(line.removeprefix("    ") for line in text.splitlines()), "```")
        else:
            yield from ("", f"*{section}.* {' '.join(text.split())}")
    options = options_of(rule)
    if options:
        yield from ("", "| option | default | meaning | source |", "|---|---|---|---|", *(f"| `{one.name}` | {one.default} | {one.meaning} | {one.origin} |" for one in options))


if __name__ == "__main__":
    print("\n".join(catalogue()))
