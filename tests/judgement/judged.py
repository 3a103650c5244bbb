"""For tests: small descriptions, solved and judged."""

from __future__ import annotations

from operation.operated import loaded

from harnessdoc.judgement.judge import Judgement, judge
from harnessdoc.operation.operate import Operation
from harnessdoc.judgement.verdict import Verdict


def judged(text: str) -> tuple[Operation, Judgement]:
    """A description without an error, solved and judged."""
    found = loaded(text)
    assert found.operation is not None and found.geometry is not None
    return found.operation, judge(found.operation, found.geometry)


def verdict(verdicts: tuple[Verdict, ...], about: str) -> Verdict:
    """The first about something."""
    return next(one for one in verdicts if one.about == about)
