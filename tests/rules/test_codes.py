"""Every code that the source emits has a page, and no page is without an emitter."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import harnessdoc
from harnessdoc.description.reader import LINES_LEFT_OUT
from harnessdoc.findings import Severity
from harnessdoc.rules.codes import CODES, page
from harnessdoc.rules.registry import RULES

PACKAGE = Path(harnessdoc.__file__).parent
EMITTERS = {"Finding", "error", "_error", "no_such", "reference", "findings_of_joins", "finding_of", "Astray"}
"""Functions that are given a code; the readers and builders have no other way to make a finding."""
WORD = re.compile(r"[a-z0-9]+(-[a-z0-9]+)+|unreadable")


def codes_in(source: str) -> Iterator[str]:
    """Every code literal that a call of an emitter is given, and every CODE of a rule."""
    tree = ast.parse(source)
    named = {target.id: node.value for node in ast.walk(tree) if isinstance(node, ast.Assign) for target in node.targets if isinstance(target, ast.Name)}
    paired = [(target, value) for node in ast.walk(tree) if isinstance(node, ast.Assign) and isinstance(node.value, ast.Tuple)
              for target in node.targets if isinstance(target, ast.Tuple) for target, value in zip(target.elts, node.value.elts, strict=False)]
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and getattr(node.func, "id", getattr(node.func, "attr", "")) in EMITTERS:
            arguments = [*node.args[:6], *(keyword.value for keyword in node.keywords)]
            names = {argument.id for argument in arguments if isinstance(argument, ast.Name)}
            values = [*arguments, *(value for name, value in named.items() if name in names),
                      *(value for target, value in paired if isinstance(target, ast.Name) and target.id in names)]
            for value in values:
                if isinstance(value, ast.IfExp):
                    values += [value.body, value.orelse]
                elif isinstance(value, ast.Constant) and isinstance(value.value, str) and WORD.fullmatch(value.value):
                    yield value.value


def emitted() -> set[str]:
    # a key of a description (`lid-view`) may be an argument too, so words of the language are left out
    keys = {"commanded-by", "wire-type", "lid-view", "step-above"}
    return {code for path in PACKAGE.rglob("*.py") if path.name != "codes.py" for code in codes_in(path.read_text(encoding="utf-8"))} - keys


def test_every_code_has_a_page_and_every_page_an_emitter():
    assert emitted() - set(CODES) == set()
    assert set(CODES) - emitted() == set()


def test_the_codes_after_which_lines_are_missing_exist():
    assert set(CODES) >= LINES_LEFT_OUT


@pytest.mark.parametrize("source, codes", [
    ("Finding('a-b', 1)", ["a-b"]),
    ("values.error('a-b' if x else 'c-d', 'message-like')", ["a-b", "c-d", "message-like"]),
    ("CODE = 'a-b'\nFinding(CODE, 1)", ["a-b"]),
    ("code, words = 'a-b', f'{x}'\nerror(code, words)", ["a-b"]),
    ("other('a-b')\nx = 'c-d'", []),
])
def test_a_planted_code_is_found(source, codes):
    assert sorted(codes_in(source)) == sorted(codes)


@pytest.mark.parametrize("code", CODES)
def test_a_code_is_a_word_and_its_page_says_something(code):
    entry = CODES[code]
    assert WORD.fullmatch(code)
    assert isinstance(entry.severity, Severity)
    for words in (entry.meaning, entry.why, entry.do):
        assert words.endswith(".") and "  " not in words


def test_the_page_of_a_code():
    assert page("two-positions") == (
        "two-positions (error)\n\nA splice has `place:` and `at:`.\n\nWhy it matters: It sits at one of the two.\n\nWhat to do: Keep one.")


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.CODE)
def test_the_page_of_a_rule_is_its_docstring(rule):
    text = page(rule.CODE)
    assert text.startswith(f"{rule.CODE} ({rule.SEVERITY.word})\n\n")
    for heading in ("What it checks:", "Why it matters:", "Example that fails:", "Example that passes:", "Limits and source:"):
        assert heading in text


def test_there_is_no_page_for_another_word():
    with pytest.raises(KeyError):
        page("no-such-code")
