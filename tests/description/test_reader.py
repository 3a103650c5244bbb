"""Reading files and YAML: what cannot be decoded, and what any text may do to the reader."""

from __future__ import annotations

import gc
import random
import time

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from harnessdoc.description import builder
from harnessdoc.description.reader import MAX_BYTES, read_text, read_yaml
from harnessdoc.description.text import Items, Record, SourceText
from harnessdoc.findings import Place

SAMPLE = """\
# heron.yaml, the host as found
title: "Heron camper, as found"
colours: DIN 47002
devices:
  Q1: {title: key switch, connectors: [X1], closes: {run: [[X1.30, X1.75], [X1.30, X1.15]]}}
connectors:
  X1: {title: 'driver''s plug', face: [[30, 15], [50, 75]], view: wire side}   # by the column
notes: |
  stud #3: the long one
circuits: {charge lamp: {hot: &hot [run, start]}, ignition: {hot: *hot}}
wires:
  11: {from: F3.2, to: X1.30, size: 2.5 mm2, colour: rt}
  14:
    from: X1.15
    to: unknown
    evidence: "rings to X4.3: and X9.1"
include:
  - a.yaml
"""

SAVE = "save it as UTF-8 (the editor offers it under 'save as' or 'encoding')"

BYTES = [
    (
        "utf-16",
        "title: x\n".encode("utf-16"),
        "file-encoding",
        1,
        1,
        "'heron.yaml' is written in UTF-16; a description is UTF-8",
        SAVE,
    ),
    (
        "windows-1252",
        "title: x\nplace: Säule\n".encode("cp1252"),
        "file-encoding",
        2,
        9,
        "byte 0xE4 at line 2, column 9 is not UTF-8 (in Windows-1252 it would be 'ä')",
        SAVE,
    ),
    (
        "cut short",
        "title: ü".encode()[:-1],
        "file-encoding",
        1,
        8,
        "byte 0xC3 at line 1, column 8 is not UTF-8 (in Windows-1252 it would be 'Ã')",
        SAVE,
    ),
    (
        "no sign anywhere",
        b"title: \x81\n",
        "file-encoding",
        1,
        8,
        "byte 0x81 at line 1, column 8 is not UTF-8",
        SAVE,
    ),
    (
        "binary",
        b"title\n\x89\x00\x01",
        "file-binary",
        2,
        2,
        "'heron.yaml' is no text file: byte 8 is zero",
        "name the description, a text file",
    ),
    (
        "empty",
        b"",
        "file-empty",
        1,
        1,
        "'heron.yaml' is empty",
        "write 'title:', 'connectors:' and 'wires:' to begin with",
    ),
    (
        "only a mark",
        b"\xef\xbb\xbf",
        "file-empty",
        1,
        1,
        "'heron.yaml' is empty",
        "write 'title:', 'connectors:' and 'wires:' to begin with",
    ),
    (
        "10 MB",
        b"# x\n" * (10 * 2**18),
        "file-too-large",
        1,
        1,
        "'heron.yaml' has 10.0 MB, a description may have 5 MB",
        "divide it with 'include:', or put the wires into CSV tables",
    ),
]


@pytest.mark.parametrize("name, data, code, line, column, message, do", BYTES, ids=[row[0] for row in BYTES])
def test_file_that_holds_no_text(tmp_path, name, data, code, line, column, message, do):
    (tmp_path / "heron.yaml").write_bytes(data)
    text, (finding,) = read_text(tmp_path / "heron.yaml", "heron.yaml")
    assert text is None
    assert (finding.code, finding.place, finding.message, finding.do) == (
        code,
        Place("heron.yaml", line, column),
        message,
        do,
    )


def test_no_file_and_a_folder(tmp_path):
    _, (finding,) = read_text(tmp_path / "heron.yaml", "heron.yaml")
    assert (finding.code, finding.message) == ("file-missing", "there is no file 'heron.yaml'")
    _, (finding,) = read_text(tmp_path, "heron")
    assert (finding.code, finding.message) == ("file-missing", "'heron' is a folder, not a file")
    _, (finding,) = read_text("he\0ron", "he?ron")
    assert (finding.code, finding.message) == (
        "file-missing",
        "'he?ron' cannot be read: the name cannot be a file's name",
    )


def test_a_file_that_may_not_be_read():
    def refuse(path: str) -> bytes:
        raise PermissionError(13, "Permission denied")

    _, (finding,) = read_text("heron.yaml", "heron.yaml", refuse)
    assert (finding.code, finding.message) == (
        "file-missing",
        "'heron.yaml' cannot be read: permission denied",
    )


def test_the_size_is_asked_before_the_file_is_read(tmp_path):
    path = tmp_path / "heron.yaml"
    with path.open("wb") as file:
        file.truncate(10**12)  # a sparse file: reading it would fill the memory
    _, (finding,) = read_text(path, "heron.yaml")
    assert finding.code == "file-too-large"
    assert MAX_BYTES == 5 * 2**20


def test_a_byte_order_mark_does_not_move_places(tmp_path):
    (tmp_path / "heron.yaml").write_bytes(b"\xef\xbb\xbftitle: Heron\r\ntitle: x\r\n")
    text, _ = read_text(tmp_path / "heron.yaml", "heron.yaml")
    record, (finding,) = read_yaml(text)
    assert record.place_of("title") == Place("heron.yaml", 1, 8)
    assert finding.place == Place("heron.yaml", 2, 1)
    assert finding.related[0].place == Place("heron.yaml", 1, 1)


def test_comments_that_are_comments():
    for text in (
        "a: b # c\n",
        "#c\na: b\n",
        "a: b\n  #c\n",
        "a: {b: c} #d\n",
        "a: 'b' #c\n",
        "a: b#c\n",
        "a: 'b #c'\n",
        "a: |\n  b #c\n",
        "a: b # see #3\n",
        "a: b ## c\n",
    ):
        _, findings = read_yaml(SourceText("heron.yaml", text))
        assert findings == (), text


def test_the_sample_reads_without_a_word_and_so_it_does_with_the_slow_parser(monkeypatch):
    record, findings = read_yaml(SourceText("heron.yaml", SAMPLE))
    assert findings == ()
    assert record["circuits"]["ignition"]["hot"] == ["run", "start"]
    assert record["connectors"]["X1"]["title"] == "driver's plug"
    monkeypatch.setattr(builder, "_Loader", yaml.Loader)
    slow, findings = read_yaml(SourceText("heron.yaml", SAMPLE))
    assert findings == () and slow == record
    assert _places(slow) == _places(record)


def test_the_collector_is_left_as_it_was():
    read_yaml(SourceText("heron.yaml", SAMPLE))
    assert gc.isenabled()
    gc.disable()
    try:
        read_yaml(SourceText("heron.yaml", SAMPLE))
        assert not gc.isenabled()
    finally:
        gc.enable()


def _places(value) -> list:
    """Every key and value of a map or list with its place, in order."""
    if isinstance(value, Record):
        return [
            (key, value.place_of_key(key), value.place_of(key), _places(part)) for key, part in value.items()
        ]
    if isinstance(value, Items):
        return [(value.place_of(position), _places(part)) for position, part in enumerate(value)]
    return [value]


# What a description may hold: no control characters, and no line ends but the usual one.
_TEXTS = st.text(
    alphabet=st.one_of(
        st.sampled_from("ab1 :#,-?{}[]'\"&*!|>%@`.\n\\"),
        st.characters(
            min_codepoint=0xA0,
            max_codepoint=0x1F6FF,
            exclude_categories=("Cc", "Cs", "Cn", "Zl", "Zp", "Co", "Cf"),
        ),
    ),
    max_size=12,
)
_KEYS = _TEXTS.filter(lambda key: "\n" not in key)
_VALUES = st.recursive(
    _TEXTS,
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(_KEYS, inner, max_size=3)),
    max_leaves=12,
)


@settings(max_examples=200, deadline=None)
@given(st.dictionaries(_KEYS, _VALUES, min_size=1, max_size=4), st.sampled_from([None, False, True]))
def test_what_the_library_writes_is_read_back_and_its_places_point_at_it(data, flow):
    text = yaml.safe_dump(data, allow_unicode=True, default_flow_style=flow, sort_keys=False, width=10**6)
    source = SourceText("heron.yaml", text)
    record, findings = read_yaml(source)
    assert findings == ()
    assert record == data
    for key, key_place, value_place, _ in _places(record):
        assert _stands_at(source, key_place, key)
        assert isinstance(record[key], (Record, Items)) or _stands_at(source, value_place, record[key])


def _stands_at(source: SourceText, place: Place, word: str) -> bool:
    """True if the text at the place begins with the word, plain or in quotes or as a block."""
    rest = source.text[source.mark(place.line, place.column) :]
    return rest.startswith(word) if word and rest[0] not in "'\"|>?" else rest[0] in "'\"|>?"


@pytest.mark.parametrize("seed", range(300))
def test_no_text_makes_the_reader_raise(seed):
    chance = random.Random(seed)
    text = SAMPLE
    for _ in range(chance.randint(1, 6)):
        at = chance.randrange(len(text) + 1)
        kind = chance.randrange(4)
        if kind == 0:
            text = (
                text[:at]
                + chance.choice(
                    list("{}[]:#,'\"&*!|>%@`?-\t\n\r \\ ä🚐\x07\x00\u2028")
                    + [": ", " #", "- ", "? ", "\n---\n", "\ud800"]
                )
                + text[at:]
            )
        elif kind == 1:
            text = text[:at] + text[at + chance.randint(1, 12) :]
        elif kind == 2:
            end = at + chance.randint(1, 40)
            text = text[:at] + text[at:end] * 2 + text[end:]
        else:
            text = text[:at]
    source = SourceText("heron.yaml", text)
    record, findings = read_yaml(source)
    assert record is None or isinstance(record, Record)
    for finding in findings:
        assert finding.message and "\n" not in finding.message
        assert 1 <= finding.place.line <= source.line_count + 1 and finding.place.column >= 1
        assert finding.code != "unreadable" or "rest of the file" in finding.message, finding
    assert findings == tuple(sorted(findings, key=lambda finding: finding.sort_key))


def test_a_file_full_of_faults_takes_no_longer_than_its_share():
    text = "wires:\n" + "  11: {from: X1.1, to: X2.1 #3}\n" * 20_000
    start = time.perf_counter()
    read_yaml(SourceText("heron.yaml", text))
    assert time.perf_counter() - start < 10


@pytest.mark.parametrize(
    "text",
    ["{t: a" + ", b" * 200_000 + "}\n", "{" + "t: 1, " * 200_000 + "}\n", "a: [" + "*x, " * 200_000 + "]\n"],
    ids=["commas", "one key again and again", "repeats of nothing"],
)
def test_a_hostile_line_is_given_up_in_good_time(text):
    start = time.perf_counter()
    _, findings = read_yaml(SourceText("heron.yaml", text))
    assert 1 <= len(findings) <= builder.MAX_FINDINGS + 1
    assert time.perf_counter() - start < 20
