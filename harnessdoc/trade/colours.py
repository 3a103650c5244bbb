"""Wire colours: read in the convention of a source, printed in the reader's.

Takes text such as ``YE/BK``, ``sw/rt``, ``DK GRN/WHT`` or ``L-Y`` and the name of
a convention; gives a Colour (base tint, up to two stripes) or a ColourFault, a
value with the message and the way out. Codes are read per convention and never
guessed: BL, B, G, GR and SB mean different things in different books.

Facts: ``data/colours.csv`` (codes of IEC 60757, DIN 47002 and the two trades).
"""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from functools import cache, lru_cache

from harnessdoc.trade.tables import rows

CONVENTIONS = ("IEC 60757", "DIN 47002", "North American trade", "Japanese trade")
_COLUMNS = dict(zip(CONVENTIONS, ("iec", "din", "us", "japan")))
#: The words for a shade put before a code; the trade in Japan has none and uses codes of their own.
_SHADES = {
    "IEC 60757": {"dark": "DK", "light": "LT"},
    "DIN 47002": {"dark": "dk", "light": "hl"},
    "North American trade": {"dark": "DK", "light": "LT"},
    "Japanese trade": {},
}
#: What a code stands for in books of no convention known here.
_ELSEWHERE = {"SB": ("BK", "one Swedish book"), "BL": ("BK", "some lists")}
_MOST_STRIPES = 2


@dataclass(frozen=True, slots=True, order=True)
class Tint:
    """One colour: ``code`` as in ``data/colours.csv`` (IEC 60757 letters where there are any), ``shade`` "", "dark" or "light"."""

    code: str
    shade: str = ""


@dataclass(frozen=True, slots=True, order=True)
class Colour:
    """The colour of a wire: the base, then none, one or two stripes."""

    base: Tint
    stripes: tuple[Tint, ...] = ()


_GROUNDS = {"DIN 47002": Colour(Tint("BN"))}
_USUAL_GROUND = Colour(Tint("BK"))


@dataclass(frozen=True, slots=True)
class ColourFault:
    """Text that is no colour: ``message`` names it and the convention, ``do`` is the way out."""

    message: str
    do: str


def ground_colour(convention: str) -> Colour:
    """The colour of a ground: brown in DIN 47002, else black (common practice)."""
    return _GROUNDS.get(convention, _USUAL_GROUND)


def is_ground_colour(colour: Colour) -> bool:
    """Whether it is that of a ground in some convention."""
    return colour in (_USUAL_GROUND, *_GROUNDS.values())


@cache
def _words() -> dict[str, str]:
    return {row["code"]: row["word"] for row in rows("colours") if not row["shade"]}


def tint_word(tint: Tint) -> str:
    """``dark green``."""
    return f"{tint.shade} {_words()[tint.code]}".strip()


def word(colour: Colour) -> str:
    """The colour in words: ``green with a white stripe``, ``red with a black and a white stripe``."""
    stripes = " and ".join(f"{'an' if tint_word(t)[0] in 'aeiou' else 'a'} {tint_word(t)}" for t in colour.stripes)
    return f"{tint_word(colour.base)} with {stripes} stripe" if stripes else tint_word(colour.base)


@cache
def tints() -> tuple[Tint, ...]:
    """Every tint a code is known for, in the order of the table, unshaded ones first."""
    return tuple(Tint(row["code"], row["shade"]) for row in rows("colours"))


@cache
def tint_srgb(tint: Tint) -> str:
    """``#57A639``: the ink for a swatch (a design choice, no standard); a shade without its own takes the unshaded one."""
    inks = {(row["code"], row["shade"]): row["srgb"] for row in rows("colours")}
    return inks.get((tint.code, tint.shade)) or inks[(tint.code, "")]


@cache
def _codes(convention: str) -> dict[str, Tint]:
    """Codes as the convention writes them (shade words apart from their code) -> tint, the printed one of a tint first."""
    column, out = _COLUMNS[convention], {}
    for row in rows("colours"):
        tint = Tint(row["code"], row["shade"])
        for code in filter(None, row[column].split("|")):
            out[code] = tint
    for shade, short in _SHADES[convention].items():
        for code, tint in list(out.items()):
            if not tint.shade:
                out.setdefault(f"{short} {code}", Tint(tint.code, shade))
    return out


@cache
def _printed(convention: str) -> dict[Tint, str]:
    out: dict[Tint, str] = {}
    for code, tint in _codes(convention).items():
        out.setdefault(tint, code)
    return out


@cache
def _folded(convention: str) -> dict[str, str]:
    """Capitals, shade joined or apart -> the code as the convention writes it."""
    out: dict[str, str] = {}
    for code in _codes(convention):
        out.setdefault(code.upper(), code)
        out.setdefault(code.upper().replace(" ", ""), code)
    return out


@cache
def _free_words(convention: str) -> dict[str, Tint]:
    """The English words, in capitals, of the tints the convention has no code for."""
    every = [Tint(code, shade) for code in _words() for shade in ("", "dark", "light")]
    return {tint_word(t).upper(): t for t in every if t not in _printed(convention)}


def _join(convention: str) -> str:
    return "-" if convention == "Japanese trade" else "/"


def print_tint(tint: Tint, convention: str) -> str:
    """One tint in ``convention``; the English word where the convention has no code."""
    return _printed(convention).get(tint) or tint_word(tint)


def print_colour(colour: Colour, convention: str) -> str:
    """Base first: ``YE/BK``, ``sw/rt``, ``DK GRN/WHT``, ``L-Y``; the English word where the convention has no code."""
    return _join(convention).join(print_tint(tint, convention) for tint in (colour.base, *colour.stripes))


@lru_cache(maxsize=16384)
def parse_colour(text: str, convention: str) -> Colour | ColourFault:
    """Read ``text`` in ``convention`` (one of CONVENTIONS).

    Any case. Parts stand apart by ``/`` or ``-`` or close together (``swrt``,
    ``BKBU``) where that has one reading only. Never raises for bad text.
    """
    tidy = " ".join(text.split())
    if not tidy:
        return ColourFault("the colour is empty", "write unknown if it is not known")
    parts = [part.strip() for part in re.split(r"[/-]", tidy)]
    if not all(parts):
        return ColourFault(f"{_quote(tidy)} has a stroke with no colour beside it", "write the base first, then the stripe")
    found: list[Tint] = []
    for part in parts:
        read = _read_part(part, convention, alone=len(parts) == 1)
        if isinstance(read, ColourFault):
            return read
        found += read
    colour = Colour(found[0], tuple(found[1:]))
    if len(colour.stripes) > _MOST_STRIPES:
        return ColourFault(
            f"{_quote(tidy)} has {len(colour.stripes)} stripes; a wire has at most {_MOST_STRIPES}",
            "write the base and the stripes that can be seen",
        )
    if len(set(found)) < len(found):
        return ColourFault(f"{_quote(tidy)} names {_repeated(found)} twice", "write each colour once, the base first")
    return colour


def colour_doubt(text: str, convention: str) -> str:
    """A sentence where a colour that reads could have been meant otherwise, else "".

    Japanese books that write stripes close together mean black with a red stripe
    by ``BR`` and brown by ``Br``; others write everything in capitals. And ``BL``
    in DIN 47002 is blue, but the capitals suggest another list.
    """
    for part in (p.strip() for p in re.split(r"[/-]", " ".join(text.split()))):
        code = _folded(convention).get(part.upper())
        if code is None or len(code) < 2 or not part.isupper():
            continue
        tint = _codes(convention)[code]
        if convention == "Japanese trade" and (close := _splits(part, convention)):
            return (
                f"{part} is read as {tint_word(tint)}; a book that writes stripes close together means "
                f"{word(_colour_of(close[0], convention))} by it: write {print_tint(tint, convention)} or {'-'.join(close[0])}"
            )
        if convention == "DIN 47002" and (foreign := _meanings_elsewhere(part, convention, other_than=tint)):
            return f"{part} is read as {code}, {tint_word(tint)}, but it is {foreign}"
    return ""


def _read_part(part: str, convention: str, alone: bool) -> list[Tint] | ColourFault:
    """The tints of one part: one, or several written close together."""
    code = _folded(convention).get(part.upper())
    if code is not None:
        return [_codes(convention)[code]]
    if (free := _free_words(convention).get(part.upper())) is not None:
        return [free]
    splits = _splits(part, convention)
    if len(splits) == 1:
        return [_codes(convention)[c] for c in splits[0]]
    if splits:
        ways = [_join(convention).join(s) for s in splits]
        readings = " or ".join(word(_colour_of(s, convention)) for s in splits)
        return ColourFault(f"{_quote(part)} in {convention} may be {readings}", f"write {' or '.join(ways)}")
    return _unknown(part, convention, alone)


def _colour_of(codes: tuple[str, ...], convention: str) -> Colour:
    read = [_codes(convention)[c] for c in codes]
    return Colour(read[0], tuple(read[1:]))


def _splits(part: str, convention: str) -> list[tuple[str, ...]]:
    """Ways to cut ``part`` into codes, two or three of them.

    Where some cut agrees with the case of the codes as written, only such cuts
    count: ``BrW`` is Br with W, not B with R and W.
    """
    found: list[tuple[tuple[str, ...], bool]] = []

    def cut(rest: str, codes: tuple[str, ...], same_case: bool) -> None:
        if not rest:
            found.append((codes, same_case))
        elif len(codes) <= _MOST_STRIPES:
            for size in range(1, len(rest) + 1):
                code = _folded(convention).get(rest[:size].upper())
                if code is not None:
                    cut(rest[size:], (*codes, code), same_case and code.replace(" ", "") == rest[:size])

    cut(part.replace(" ", "") if part[:2].upper() in _shade_words(convention) else part, (), True)
    several = [(codes, same) for codes, same in found if len(codes) > 1]
    exact = [codes for codes, same in several if same]
    unique = dict.fromkeys(exact or [codes for codes, _ in several])
    return list(unique)


def _shade_words(convention: str) -> set[str]:
    return {short.upper() for short in _SHADES[convention].values()}


def _unknown(part: str, convention: str, alone: bool) -> ColourFault:
    message = f"{_quote(part)} is not a colour in {convention}"
    elsewhere = _meanings_elsewhere(part, convention)
    if elsewhere:
        message += f"; it is {elsewhere}"
    if part.upper() in _shade_words(convention):
        return ColourFault(f"{_quote(part)} is a shade, not a colour, in {convention}", f"write it before its colour: {part} {_printed(convention)[Tint('GN')]}")
    near = _nearest(part, convention)
    if " " in part and all(p.upper() in _folded(convention) for p in part.split()):
        return ColourFault(message, f"write {_join(convention).join(_folded(convention)[p.upper()] for p in part.split())}")
    if near:
        hint = " or ".join(f"{code} ({tint_word(_codes(convention)[code])})" for code in near)
        return ColourFault(message, f"did you mean {hint}?" if alone else f"did you mean {hint} for {_quote(part)}?")
    return ColourFault(message, "codes: " + ", ".join(_printed(convention)[t] for t in tints() if t in _printed(convention)))


def _foreign(part: str, convention: str) -> list[tuple[Tint, str]]:
    """(tint, where) for each other convention or book that has the code."""
    out = []
    for other in CONVENTIONS:
        code = _folded(other).get(part.upper())
        if other != convention and code is not None:
            spelled = f" ({code})" if code != part else ""
            out.append((_codes(other)[code], f"in {other}{spelled}"))
    if part.upper() in _ELSEWHERE:
        code, book = _ELSEWHERE[part.upper()]
        out.append((Tint(code), f"in {book}"))
    return out


def _meanings_elsewhere(part: str, convention: str, other_than: Tint | None = None) -> str:
    """``blue in DIN 47002 (bl) and in Japanese trade (Bl), black in some lists``."""
    by_tint: dict[Tint, list[str]] = {}
    for tint, where in _foreign(part, convention):
        if tint != other_than:
            by_tint.setdefault(tint, []).append(where)
    return ", ".join(f"{tint_word(tint)} {' and '.join(where)}" for tint, where in by_tint.items())


def _nearest(part: str, convention: str) -> list[str]:
    """Codes of this convention that may have been meant, the likeliest first, three at most."""
    printed = _printed(convention)
    meant = [tint for tint, _ in _foreign(part, convention)]
    meant += [t for t in printed if tint_word(t).upper() == part.upper().replace("GRAY", "GREY").replace("PURPLE", "VIOLET")]
    codes = [printed[t] for t in meant if t in printed]
    if not codes:
        shaded = part[:2].upper() in _shade_words(convention)
        known = [folded for folded, code in _folded(convention).items() if shaded or not _codes(convention)[code].shade]
        close = difflib.get_close_matches(part.upper(), known, n=3, cutoff=0.5)
        codes = [printed[_codes(convention)[_folded(convention)[c]]] for c in close]
    return list(dict.fromkeys(codes))[:3]


def _repeated(found: list[Tint]) -> str:
    return next(tint_word(t) for n, t in enumerate(found) if t in found[:n])


def _quote(text: str) -> str:
    shown = text if len(text) <= 40 else text[:37] + "..."
    return f"'{shown}'"
