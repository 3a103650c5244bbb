"""Makes the bundled font and its table of widths from the static source fonts.

Run by hand, only to renew them: ``python -m harnessdoc.drawing.font.make_font FOLDER``,
FOLDER holding FiraSansCondensed-Regular.ttf and -SemiBold.ttf (SIL Open Font
License, text in OFL.txt; package fontpkg-fira-sans-condensed 4.203).

What is changed, and why:

- The digits are the font's own figures of equal width and the zero is its own
  slashed one: in wire numbers 0 and O, 1 and l and I must never be confused.
- The family has a name of its own, so that no font a user has installed can
  take its place, and since the licence asks that a changed font is not passed
  off as the original.
- Kerning, ligatures and hinting are left out: the width of a text is the sum of
  its advances in every backend.
- Left out of the characters, so that the kit draws them as code points: control
  and format characters (they turn or hide text), and combining marks (no backend
  places a mark over its letter; composed letters are there).

advances.json holds the heights and widths in 1/1000 em, read at run time
instead of the font; a test compares it with the font's own tables.
"""

from __future__ import annotations

import json
import sys
import unicodedata
from pathlib import Path

HERE = Path(__file__).parent
FAMILY = "Harnessdoc Lettering"
WEIGHTS = {"regular": "Regular", "bold": "SemiBold"}
FIGURES = ["zero.tf.zero"] + [
    f"{name}.tf" for name in ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine"]
]
NOT_DRAWN = {"Cc", "Cf", "Mn", "Me", "Mc"}
DROPPED = ["GPOS", "GSUB", "GDEF", "DSIG", "kern"]


def make(folder: Path, style: str) -> dict[str, object]:
    """Writes one font file; returns its row of the table of widths."""
    from fontTools import subset
    from fontTools.ttLib import TTFont

    font = TTFont(folder / f"FiraSansCondensed-{style}.ttf", recalcTimestamp=False)
    for table in font["cmap"].tables:
        for digit, glyph in enumerate(FIGURES):
            table.cmap[ord("0") + digit] = glyph
    kept = [c for c in font.getBestCmap() if unicodedata.category(chr(c)) not in NOT_DRAWN]
    options = subset.Options(
        hinting=False, glyph_names=False, drop_tables=DROPPED, name_IDs=[0, 1, 2, 3, 4, 5, 6, 13, 14]
    )
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=kept)
    cutter.subset(font)
    names = {
        1: FAMILY, 2: "Bold" if style == "SemiBold" else "Regular", 3: f"{FAMILY} {style}",
        4: f"{FAMILY} {style}", 6: f"{FAMILY.replace(' ', '')}-{style}",
    }  # fmt: skip
    for record in list(font["name"].names):
        if record.nameID in names:
            font["name"].setName(names[record.nameID], record.nameID, *_where(record))
    # Regular and bold are one family of two: the weights that every renderer asks for.
    font["OS/2"].usWeightClass = 700 if style == "SemiBold" else 400
    font["OS/2"].fsSelection = 0x20 if style == "SemiBold" else 0x40
    font["head"].macStyle = 1 if style == "SemiBold" else 0
    font.save(HERE / f"{FAMILY.replace(' ', '')}-{style}.ttf", reorderTables=None)
    scale = 1000 / font["head"].unitsPerEm
    return {
        "cap_height": font["OS/2"].sCapHeight * scale,
        "ascent": font["hhea"].ascent * scale,
        "descent": -font["hhea"].descent * scale,
        "widths": {
            chr(code): font["hmtx"][glyph][0] * scale
            for code, glyph in sorted(font.getBestCmap().items())
        },
    }


def _where(record) -> tuple[int, int, int]:
    return record.platformID, record.platEncID, record.langID


def main() -> None:
    folder = Path(sys.argv[1])
    table = {weight: make(folder, style) for weight, style in WEIGHTS.items()}
    text = json.dumps(table, ensure_ascii=True, indent=0)
    (HERE / "advances.json").write_text(text + "\n", encoding="ascii")


if __name__ == "__main__":
    main()
