"""docs/words.md has a line for every key, command, option, sheet title and severity, and no other."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from harnessdoc.cli.main import harnessdoc
from harnessdoc.description.order_file import order_schema
from harnessdoc.description.schema import schema
from harnessdoc.findings import Severity
from harnessdoc.sheets.context import SheetKind

PAGE = (Path(__file__).parent.parent / "docs" / "words.md").read_text(encoding="utf-8")


def words_under(heading: str) -> set[str]:
    section = PAGE.split(f"\n## {heading}\n")[1].split("\n## ")[0]
    return {match[1].strip("`") for match in re.finditer(r"^\| (.+?) \| .+ \| .+ \|$", section, re.MULTILINE)} - {"word"}


def keys_of(node: object) -> Iterator[str]:
    """Every property name anywhere in the schema."""
    if isinstance(node, dict):
        properties = node.get("properties")
        if isinstance(properties, dict):
            yield from properties
        for value in node.values():
            yield from keys_of(value)
    elif isinstance(node, list):
        for value in node:
            yield from keys_of(value)


def test_every_key_has_a_line_and_no_line_is_idle() -> None:
    assert words_under("Keys") == set(keys_of(schema())) | set(keys_of(order_schema()))


def test_every_command_and_option_has_a_line() -> None:
    commands = {f"harnessdoc {name}" for name in harnessdoc.commands}
    options = {option for command in (harnessdoc, *harnessdoc.commands.values()) for parameter in command.params
               for option in parameter.opts if option.startswith("--")}
    assert words_under("Commands and options") == commands | options | {"--help", "--version"}


def test_every_sheet_title_and_severity_has_a_line() -> None:
    assert words_under("Sheets") == {kind.value for kind in SheetKind}
    assert words_under("Severities") == {severity.word for severity in Severity}


def test_every_line_names_an_origin() -> None:
    for line in PAGE.splitlines():
        if line.startswith("| ") and not line.startswith(("| word", "|---")):
            assert line.strip("| ").rsplit("|", 1)[1].strip(), line
