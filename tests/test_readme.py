"""The README shows what the program does: pictures, console blocks, the first file."""

from __future__ import annotations

import json
import re

import pytest
from refresh_readme import PICTURES, README, ROOT, merge_shown, picture, with_consoles

from harnessdoc.cli.commands import give
from harnessdoc.description.schema import schema
from harnessdoc.findings import Severity
from harnessdoc.merge.recipes import RECIPES
from harnessdoc.steps import load

TEXT = README.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", PICTURES)
def test_pictures_are_real_renders(name: str) -> None:
    assert (ROOT / "out" / "readme" / f"{name}.svg").read_text(encoding="utf-8") == picture(name), "run python tests/refresh_readme.py"


def test_every_picture_shown_is_one_of_them() -> None:
    assert set(re.findall(r"out/readme/([a-z-]+)\.svg", TEXT)) == set(PICTURES)


def test_console_blocks_show_what_is_printed() -> None:
    assert with_consoles(TEXT) == TEXT, "run python tests/refresh_readme.py"


def test_the_first_file_is_the_example() -> None:
    shown = re.search(r"```yaml\n(.*?)```", TEXT, re.DOTALL)[1]
    assert shown == (ROOT / "examples" / "first-wires" / "first-wires.yaml").read_text(encoding="utf-8")


def test_the_merge_that_is_shown_is_one() -> None:
    texts = {"merge.yaml": merge_shown(TEXT)} | {f"{name}.yaml": (ROOT / "examples" / name / f"{name}.yaml").read_text(encoding="utf-8") for name in ("heron", "linnet")}
    loaded = load("merge.yaml", texts, solve=False)
    assert list(loaded.merge.joins) == ["J1", "J2"] and list(loaded.merge.interfaces) == ["I1"]
    of_merge = [finding.code for finding in loaded.findings if finding.place.file == "merge.yaml" and finding.severity is Severity.ERROR]
    assert of_merge == []
    short = [finding.at for finding in load("merge.yaml", texts | {"merge.yaml": re.sub(r", piece: {[^}]*}", "", merge_shown(TEXT))}, solve=False).findings if finding.code == "stub-too-short"]
    assert short and "wire host/32" in short[0], "the comment says that a piece is needed"


def test_the_ends_that_are_shown_are_those_of_the_examples() -> None:
    """In the README, in the examples of the schema (docs/language.md) and of the recipes that name pins of both examples."""
    harnesses = {source: load(ROOT / "examples" / name / f"{name}.yaml", solve=False).harness for source, name in (("host", "heron"), ("donor", "linnet"))}
    recipes = " ".join(end for name in ("pull-up", "series resistor") for end in RECIPES[name].example.values())
    shown = [TEXT, json.dumps([schema()["properties"][key]["examples"] for key in ("joins", "interfaces")]), schema()["$defs"]["open-ends"]["description"], recipes]
    ends = [end for text in shown for end in re.findall(r"\b(host|donor)/([A-Z]\w*\.[\w+-]+|SP\d+|\d+)", text)]
    assert len(ends) > 20
    assert [f"{source}/{end}" for source, end in ends if end not in harnesses[source].contacts and end not in harnesses[source].wires] == []
    # what is joined or open is no ground of a sender
    assert "ground-sensor" not in [contact.signal for source, end in ends if (contact := harnesses[source].contacts.get(end)) is not None]


def test_the_lists_that_are_named_are_those_there_are() -> None:
    row = next(line for line in TEXT.splitlines() if line.startswith("| `give "))
    (lists,) = [option.type.choices for option in give.params if option.name == "name"]
    assert [name for name in lists if f"`{name}`" not in row] == []


def indented(key: str) -> str:
    """The block of the README that begins with a key, four spaces in."""
    return re.search(rf"^    {key}:\n(?:    .*\n)+", TEXT, re.MULTILINE)[0].replace("\n    ", "\n").removeprefix("    ")


def test_the_waiver_and_the_option_that_are_shown_hold() -> None:
    first = (ROOT / "examples" / "first-wires" / "first-wires.yaml").read_text(encoding="utf-8")
    (finding,) = load("first-wires.yaml", {"first-wires.yaml": first}).findings
    loaded = load("first-wires.yaml", {"first-wires.yaml": first + indented("waivers")})
    assert loaded.findings == () and [one.finding.message for one in loaded.waived] == [finding.message]
    assert loaded.harness.rule_options["parasitic-drain"]["most"] == "30 mA"


def test_the_switches_and_the_state_that_are_shown_are_read() -> None:
    battery = '  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}\n'
    loaded = load("a.yaml", {"a.yaml": indented("devices").replace("devices:\n", "devices:\n" + battery)})
    assert not loaded.has_errors and "waiting" in loaded.operation.solved and loaded.operation.solved["waiting"].case.switches == {"S2": "pressed"}


def test_the_python_lines_run(tmp_path, monkeypatch: pytest.MonkeyPatch) -> None:
    code = re.search(r"```python\n(.*?)```", TEXT, re.DOTALL)[1]
    monkeypatch.chdir(tmp_path)
    (tmp_path / "first-wires.yaml").write_text((ROOT / "examples" / "first-wires" / "first-wires.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    exec(compile(code, "README.md", "exec"), {})
    assert (tmp_path / "first-wires" / "first-wires.pdf").is_file()
