"""PNG pictures of single sheets, through cairosvg and the cairo library.

Takes a recorded drawing and dots an inch; gives the bytes of a PNG file. cairo
finds fonts through fontconfig, which reads its settings once in a process: it is
told of the bundled font, and of nothing else, before cairo is loaded, so that no
installed font can change the picture. That holds where cairo takes its fonts from
fontconfig (Linux, and cairo from MSYS2); a cairo built on the font services of
macOS or Windows may set the text in another font, letters still at their places.
"""

from __future__ import annotations

import os
import tempfile
from functools import cache
from pathlib import Path
from xml.sax.saxutils import escape

from harnessdoc.drawing.lettering import FONT_FOLDER
from harnessdoc.drawing.record import Drawing
from harnessdoc.drawing.svg import to_svg

HOW_TO_INSTALL = """\
PNG needs the cairo library, which is not on this machine. Install it:
  Debian, Ubuntu: apt install libcairo2
  macOS:          brew install cairo
  Windows:        pacman -S mingw-w64-x86_64-cairo (in MSYS2), or the GTK 3 runtime
Everything else (PDF, SVG, CSV) works without it."""

UNBENT = "".join(
    f'<match target="{target}"><edit name="{name}" mode="assign">{value}</edit></match>'
    for target in ("pattern", "font")
    for name, value in (
        ("hinting", "<bool>false</bool>"),
        ("autohint", "<bool>false</bool>"),
        ("hintstyle", "<const>hintnone</const>"),
        ("antialias", "<bool>true</bool>"),
    )
)
"""Letters keep their shape: without this cairo bends them to the pixels."""


class MissingLibrary(Exception):
    """A system library is missing; the text says which package to install."""


def to_png(drawing: Drawing, dpi: float = 100) -> bytes:
    """The drawing as a PNG file on white. Raises MissingLibrary where cairo is not installed."""
    _name_the_font()
    try:
        import cairosvg
    except OSError as fault:
        raise MissingLibrary(HOW_TO_INSTALL) from fault
    return cairosvg.svg2png(
        bytestring=to_svg(drawing).encode("utf-8"), dpi=dpi, background_color="white"
    )


@cache
def _name_the_font() -> tempfile.TemporaryDirectory[str]:
    """Writes fontconfig's settings and points it there; the folder lives as long as the process."""
    folder = tempfile.TemporaryDirectory(prefix="harnessdoc-fonts-")
    settings = Path(folder.name) / "fonts.conf"
    settings.write_text(
        '<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd"><fontconfig>'
        f"<dir>{escape(str(FONT_FOLDER))}</dir>"
        f"<cachedir>{escape(folder.name)}</cachedir>{UNBENT}</fontconfig>",
        encoding="utf-8",
    )
    os.environ["FONTCONFIG_FILE"] = str(settings)
    return folder
