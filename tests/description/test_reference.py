"""The language reference is made from the schema, is current, and its examples are read."""

from __future__ import annotations

from pathlib import Path

import pytest

from harnessdoc.description.files import load_files
from harnessdoc.description.reference import example_lines, language_reference
from harnessdoc.description.schema import check_schema, schema
from harnessdoc.trade.signals import signals

PAGE = Path(__file__).parent.parent.parent / "docs" / "language.md"
SECTIONS = [name for name, node in schema()["properties"].items() if "examples" in node]


def test_the_page_is_current():
    assert PAGE.read_text(encoding="utf-8") == language_reference(), "run: python -m harnessdoc.description.reference > docs/language.md"


def test_every_section_has_an_example():
    assert SECTIONS == [name for name, node in schema()["properties"].items() if isinstance(node.get("additionalProperties"), dict)]


@pytest.mark.parametrize("section", SECTIONS)
def test_an_example_is_read_as_it_stands(section):
    example = schema()["properties"][section]["examples"][0]
    text = "\n".join([f"{section}:", *example_lines(example), ""])
    description = load_files("a.yaml", {"a.yaml": text})
    assert description.findings == ()
    assert description.documents[0] == {section: example}
    assert check_schema(description.documents[0]) == []


def test_every_key_word_and_signal_is_on_the_page():
    page = language_reference()
    for node in [schema(), *schema()["$defs"].values()]:
        for key, value in node.get("properties", {}).items():
            assert f"| `{key}`" in page or f"### {key}\n" in page, key
            for word in value.get("enum", ()):
                assert f"`{word}`" in page
    for signal in signals().values():
        assert f"| `{signal.kind}` | {signal.words} |" in page


def test_links_lead_to_headings():
    page = language_reference()
    headings = {line.removeprefix("### ") for line in page.splitlines() if line.startswith("### ")}
    targets = {part.split(")")[0] for part in page.split("](#")[1:]}
    assert targets <= headings, targets - headings


def test_quotes_stand_where_they_are_needed():
    assert list(example_lines({"a": {"b": "c, d", "e": "f: g", "h": ["?", "x"], "i": "-2"}})) == ['  a: {b: "c, d", e: "f: g", h: ["?", x], i: "-2"}']
