"""Includes and tables: what is found where, and what may not be named."""

from __future__ import annotations

import os

import pytest

from harnessdoc.description import files
from harnessdoc.description.files import load_files
from harnessdoc.findings import Place


def _said(description) -> list[tuple[str, str, str]]:
    return [(str(finding.place), finding.code, finding.message) for finding in description.findings]


def test_documents_come_in_the_order_they_are_named():
    description = load_files(
        "p/heron.yaml",
        {
            "p/heron.yaml": "title: Heron\ncolours: DIN 47002\ninclude: [front.yaml, sub/rear.yaml]\n",
            "p/front.yaml": "title: front\ninclude: sub/lamps.yaml\n",
            "p/sub/lamps.yaml": "title: lamps\ncolours: IEC 60757\n",
            "p/sub/rear.yaml": "title: rear\ninclude: lamps.yaml\n",
        },
    )
    assert description.findings == () and description.is_whole
    assert [document["title"] for document in description.documents] == ["Heron", "front", "lamps", "rear"]
    assert [text.path for text in description.texts] == [
        "p/heron.yaml",
        "p/front.yaml",
        "p/sub/lamps.yaml",
        "p/sub/rear.yaml",
    ]
    assert description.main is description.texts[0]
    assert description.line(Place("p/sub/lamps.yaml", 2, 1)) == "colours: IEC 60757"
    assert description.line(Place("p/none.yaml", 2, 1)) == ""


def test_rows_of_tables_stand_in_their_section():
    description = load_files(
        "heron.yaml",
        {
            "heron.yaml": "tables:\n  wires: [w.csv, more.csv]\n  cavities: c.csv\nwires:\n  11: {from: X1.1, to: X2.1}\n",
            "w.csv": "wire,from,to\n12,X1.2,X2.2\n",
            "more.csv": "wire;from;to\n13;X1.3;X2.3\n",
            "c.csv": "cavity,function\nX1.1,start\n",
        },
    )
    (document,) = description.documents
    assert description.findings == ()
    assert document["wires"] == {
        number: {"from": f"X1.{number[1]}", "to": f"X2.{number[1]}"} for number in ("11", "12", "13")
    }
    assert document["cavities"] == {"X1.1": {"function": "start"}}
    assert document["wires"].place_of_key("11") == Place("heron.yaml", 5, 3)
    assert document["wires"].place_of_key("13") == Place("more.csv", 2, 1)
    assert document["wires"]["13"].place_of("to") == Place("more.csv", 2, 9)
    assert document.place_of_key("cavities") == Place("heron.yaml", 3, 13)
    assert document.place_of_key("wires") == Place("heron.yaml", 4, 1)


def test_a_section_of_the_wrong_kind_is_left_to_the_schema():
    texts = {"heron.yaml": "tables: {wires: w.csv}\nwires: none\n", "w.csv": "wire,from\n12,X1.2\n"}
    description = load_files("heron.yaml", texts)
    assert description.documents[0]["wires"] == "none" and description.findings == ()


BAD = [
    (
        "missing include",
        "include: [none.yaml]\n",
        [("heron.yaml:1:11", "file-missing", "there is no file 'none.yaml'")],
    ),
    (
        "missing table",
        "tables: {wires: none.csv}\n",
        [("heron.yaml:1:17", "file-missing", "there is no file 'none.csv'")],
    ),
    (
        "above the folder",
        "include: ../heron2.yaml\n",
        [("heron.yaml:1:10", "include-outside", "'../heron2.yaml' is outside the folder of the main file")],
    ),
    (
        "absolute",
        "include: /etc/passwd\n",
        [("heron.yaml:1:10", "include-outside", "'/etc/passwd' is outside the folder of the main file")],
    ),
    (
        "out and not back",
        "include: sub/../../x.yaml\n",
        [("heron.yaml:1:10", "include-outside", "'sub/../../x.yaml' is outside the folder of the main file")],
    ),
    (
        "table outside",
        "tables: {wires: ../w.csv}\n",
        [("heron.yaml:1:17", "include-outside", "'../w.csv' is outside the folder of the main file")],
    ),
    (
        "itself",
        "include: heron.yaml\n",
        [("heron.yaml:1:10", "include-cycle", "'heron.yaml' includes 'heron.yaml'")],
    ),
    (
        "a ring of three",
        "include: b.yaml\n",
        [
            (
                "c.yaml:1:10",
                "include-cycle",
                "'heron.yaml' includes 'b.yaml', which includes 'c.yaml', which includes 'heron.yaml'",
            )
        ],
    ),
    (
        "twice",
        "include: [a.yaml, ./a.yaml]\n",
        [("heron.yaml:1:19", "named-twice", "'./a.yaml' is named twice: here and at heron.yaml:1:11")],
    ),
    (
        "table twice",
        "tables: {wires: w.csv, cavities: w.csv}\n",
        [("heron.yaml:1:34", "named-twice", "'w.csv' is named twice: here and at heron.yaml:1:17")],
    ),
    (
        "device",
        "include: sub/aux.yaml\n",
        [
            (
                "heron.yaml:1:10",
                "reserved-name",
                "'sub/aux.yaml' does not work on every computer: 'aux.yaml' is a reserved name",
            )
        ],
    ),
    (
        "console",
        "include: CON\n",
        [
            (
                "heron.yaml:1:10",
                "reserved-name",
                "'CON' does not work on every computer: 'CON' is a reserved name",
            )
        ],
    ),
    (
        "port",
        "tables: {wires: com1.csv}\n",
        [
            (
                "heron.yaml:1:17",
                "reserved-name",
                "'com1.csv' does not work on every computer: 'com1.csv' is a reserved name",
            )
        ],
    ),
    (
        "backslash",
        "include: sub\\a.yaml\n",
        [
            (
                "heron.yaml:1:10",
                "reserved-name",
                "'sub\\a.yaml' does not work on every computer: '\\' cannot stand in a file name",
            )
        ],
    ),
    (
        "drive",
        "include: C:/a.yaml\n",
        [
            (
                "heron.yaml:1:10",
                "reserved-name",
                "'C:/a.yaml' does not work on every computer: ':' cannot stand in a file name",
            )
        ],
    ),
    (
        "wire in table and in YAML",
        "tables: {wires: w.csv}\nwires:\n  12: {from: X1.1, to: X2.1}\n",
        [("w.csv:2:1", "duplicate-key", "'12' stands twice: here and at heron.yaml:3:3")],
    ),
    ("empty include", "include: empty.yaml\n", [("empty.yaml:1:1", "file-empty", "'empty.yaml' is empty")]),
]
BESIDE = {
    "a.yaml": "title: a\n",
    "b.yaml": "include: c.yaml\n",
    "c.yaml": "include: heron.yaml\n",
    "w.csv": "wire,from\n12,X1.2\n",
    "empty.yaml": "",
}


@pytest.mark.parametrize("name, text, said", BAD, ids=[row[0] for row in BAD])
def test_bad_names(name, text, said):
    description = load_files("heron.yaml", {"heron.yaml": text, **BESIDE})
    assert _said(description) == said
    assert len(description.documents) >= 1


@pytest.mark.parametrize("name, text, said", BAD[:2] + BAD[-1:], ids=["include", "table", "empty"])
def test_the_place_that_names_a_file_is_shown(name, text, said):
    (finding,) = load_files("heron.yaml", {"heron.yaml": text, **BESIDE}).findings
    named_at = Place("heron.yaml", 1, finding.place.column if finding.code == "file-missing" else 10)
    assert finding.place == named_at or finding.related[0].place == named_at


def test_from_the_disk_with_links(tmp_path):
    (tmp_path / "outside.yaml").write_text("title: outside\n")
    project = tmp_path / "p"
    (project / "sub").mkdir(parents=True)
    (project / "heron.yaml").write_text("include: [link.yaml, ring.yaml, sub]\ntables: {wires: sub/w.csv}\n")
    (project / "sub" / "w.csv").write_text("wire,from\n12,X1.2\n")
    try:
        os.symlink(tmp_path / "outside.yaml", project / "link.yaml")
        os.symlink(project / "heron.yaml", project / "ring.yaml")
    except OSError:
        pytest.skip("this system makes no links for us")
    path = project / "heron.yaml"
    description = load_files(path)
    shown = path.as_posix()
    folder = project.as_posix()
    assert _said(description) == [
        (f"{shown}:1:11", "include-outside", "'link.yaml' is outside the folder of the main file"),
        (f"{shown}:1:22", "include-cycle", f"'{shown}' includes '{folder}/ring.yaml'"),
        (f"{shown}:1:33", "file-missing", f"'{folder}/sub' is a folder, not a file"),
    ]
    assert description.documents[0]["wires"] == {"12": {"from": "X1.2"}}


def test_paths_are_shown_as_the_user_gave_them(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "p").mkdir()
    (tmp_path / "p" / "heron.yaml").write_text("include: none.yaml\n")
    (finding,) = load_files("p/heron.yaml").findings
    assert (str(finding.place), finding.message) == ("p/heron.yaml:1:10", "there is no file 'p/none.yaml'")
    (finding,) = load_files("q/heron.yaml").findings
    assert (str(finding.place), finding.message) == ("q/heron.yaml:1:1", "there is no file 'q/heron.yaml'")


def test_too_many_files_and_too_much_text(monkeypatch):
    names = [f"f{number}.yaml" for number in range(200)]
    texts = {"heron.yaml": f"include: [{', '.join(names)}]\n", **{name: "title: x\n" for name in names}}
    (finding,) = load_files("heron.yaml", texts).findings
    assert (finding.code, finding.message) == (
        "too-many-files",
        "this is file 201 of the description; it may have 200",
    )
    assert finding.place == Place("heron.yaml", 1, 11 + len(", ".join(names[:-1])) + 2)
    monkeypatch.setattr(files, "MAX_TOTAL_CHARACTERS", 2**20)
    texts = {"heron.yaml": "include: [a.yaml]\n", "a.yaml": "# " + "x" * 2**20}
    (finding,) = load_files("heron.yaml", texts).findings
    assert (finding.code, finding.place) == ("file-too-large", Place("heron.yaml", 1, 11))
    assert finding.message == "with 'a.yaml' the files have 1.0 MB together; a description may have 1 MB"


def test_findings_of_all_files_come_sorted_and_once():
    texts = {"b.yaml": "include: [a.yaml]\ntitle: x\ntitle: y\n", "a.yaml": "title: a\ntitle: b\n"}
    description = load_files("b.yaml", texts)
    assert [str(finding.place) for finding in description.findings] == ["a.yaml:2:1", "b.yaml:3:1"]
