"""For tests: a harness from the text of a description."""

from __future__ import annotations

from collections.abc import Iterable

from harnessdoc.description.files import load_files
from harnessdoc.description.schema import check_schema
from harnessdoc.findings import Finding
from harnessdoc.model.build import build_harness
from harnessdoc.model.harness import Harness


def built(text: str, **more: str) -> tuple[Harness, list[Finding]]:
    """The harness of ``main.yaml`` and all findings up to the builder's, sorted.

    more: further files by name, with ``_`` for the dot: ``wires_csv="wire,from..."``.
    """
    texts = {"main.yaml": text, **{name.replace("_", "."): file for name, file in more.items()}}
    description = load_files("main.yaml", texts)
    harness, findings = build_harness(description.documents, "main.yaml")
    findings += [*description.findings, *(finding for document in description.documents for finding in check_schema(document))]
    return harness, sorted(findings, key=lambda finding: finding.sort_key)


def clean(text: str, **more: str) -> Harness:
    """The harness of a description without a finding."""
    harness, findings = built(text, **more)
    assert said(findings) == []
    return harness


def said(findings: Iterable[Finding]) -> list[str]:
    """``line:column: code: message`` of each finding."""
    return [f"{finding.place.line}:{finding.place.column}: {finding.code}: {finding.message}" for finding in findings]
