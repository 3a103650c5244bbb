"""From the text of a description to a harness, for tests.

Takes YAML text (leading indentation taken off); gives the Harness. A test that gets
an error finding it does not expect fails here with that finding, not later with a
harness that lacks something.
"""

from __future__ import annotations

from textwrap import dedent

from harnessdoc.description.files import load_files
from harnessdoc.findings import Severity
from harnessdoc.model.build import build_harness
from harnessdoc.model.harness import Harness

FILE = "harness.yaml"


def harness_of(text: str) -> Harness:
    """The harness that ``text`` describes; the file is called ``harness.yaml``."""
    description = load_files(FILE, texts={FILE: dedent(text)})
    harness, findings = build_harness(description.documents, FILE)
    errors = [finding for finding in (*description.findings, *findings) if finding.severity is Severity.ERROR]
    assert not errors, errors
    return harness
