"""A comparison as JSON: every change, the reader's lines, what follows, and what to do.

Takes a Comparison; gives text. Values stand as they are printed; numbers have their unit
in the key.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any

from ..findings import Finding, Place
from ..geometry.parts_list import PartLine
from ..model.build_wires import DEFAULT_CONVENTION
from ..revision.changes import Change
from ..revision.compare import Comparison
from ..revision.follows import Follows
from ..revision.lines import Line, lines_of
from ..revision.parts_needed import parts_needed, parts_taken_off
from ..revision.rework import rework
from ..revision.steps import Step
from ..revision.version import Version
from ..rules.show import plain
from ..trade.colours import print_colour
from ..trade.sizes import print_size


def as_json(comparison: Comparison, old: str, new: str) -> str:
    """The whole comparison. old, new: what the user named."""
    convention = comparison.new.harness.convention or DEFAULT_CONVENTION
    number_of = {id(change): number for number, change in enumerate(comparison.changes)}
    return _text({
        "old": _version(comparison.old, old),
        "new": _version(comparison.new, new),
        "changes": [_change(change) for change in comparison.changes],
        "lines": [_line(line, number_of) for line in lines_of(comparison)],
        "follows": _follows(comparison.follows),
        "rework": {
            "steps": [_step(step, convention) for step in rework(comparison).steps],
            "parts_needed": [_part(part) for part in parts_needed(comparison, convention)],
            "parts_taken_off": [_part(part) for part in parts_taken_off(comparison, convention)],
        },
    })


def errors_as_json(sides: Mapping[str, tuple[str, Iterable[Finding]]]) -> str:
    """The errors of both versions: side -> what the user named, and its errors."""
    return _text({words: {"file": shown, "findings": [plain(finding) for finding in errors]} for words, (shown, errors) in sides.items()})


def _text(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, indent=1)


def _version(version: Version, shown: str) -> dict[str, str]:
    harness = version.harness
    last = harness.log[-1] if harness.log else None
    return {"file": shown, "title": harness.title, "revision": last.revision if last else "", "date": last.date if last else ""}


def _change(change: Change) -> dict[str, Any]:
    return {
        "kind": change.kind.value, "thing": change.thing.value, "old_id": change.old_id, "new_id": change.new_id, "key": change.key,
        "was": change.was, "now": change.now, "why": change.why, "old_place": _place(change.old_place), "new_place": _place(change.new_place),
    }


def _line(line: Line, number_of: Mapping[int, int]) -> dict[str, Any]:
    """changes: their positions in the list of all changes, from 0."""
    return {
        "kinds": [kind.value for kind in line.kinds], "thing": line.thing.value, "id": line.id, "text": line.text, "place": _place(line.place),
        "changes": [number_of[id(change)] for change in line.changes],
    }


def _follows(follows: Follows) -> dict[str, Any]:
    return {
        "joined": [merged.parts for merged in follows.merged],
        "parted": [parted.parts for parted in follows.parted],
        "lengths": [{"wire": length.wire, "was_mm": length.was_mm, "now_mm": length.now_mm} for length in follows.lengths],
        "labels": [{"wire": label.wire, "at": label.at, "was": label.was, "now": label.now} for label in follows.labels],
        "readings": [{"at": list(reading.at), "state": reading.state, "was_v": _mv(reading.was_v), "now_v": _mv(reading.now_v)} for reading in follows.readings],
        "verdicts": [{"kind": verdict.kind, "id": verdict.id, "about": verdict.about, "was": verdict.was, "now": verdict.now, "why": verdict.why} for verdict in follows.verdicts],
        "findings_new": [plain(finding) for finding in follows.findings_new],
        "findings_gone": [plain(finding) for finding in follows.findings_gone],
        "findings_waived": [{**plain(one.now), "reason": one.waiver.reason, "date": one.waiver.date} for one in follows.findings_waived],
        "waived_worse": [{"was": plain(one.was), "now": plain(one.now), "reason": one.waiver.reason, "date": one.waiver.date} for one in follows.waived_worse],
        "waivers": [{"code": one.code, "was": one.was, "now": one.now, "reason": one.reason} for one in follows.waivers],
    }


def _mv(volts: float | None) -> float | None:
    """To the millivolt; null: floating."""
    return None if volts is None else round(volts, 3)


def _step(step: Step, convention: str) -> dict[str, str]:
    return {
        "phase": step.phase.value, "at": step.at, "words": step.words, "wire": step.wire, "size": print_size(step.size) if step.size else "",
        "colour": print_colour(step.colour, convention) if step.colour else "", "terminal": step.terminal, "seal": step.seal, "proof": step.proof,
    }


def _part(part: PartLine) -> dict[str, Any]:
    """By the piece or by the metre; the other of the two is null."""
    by_piece = part.unit == "piece"
    return {
        "kind": part.kind, "part": part.part, "pieces": round(part.quantity) if by_piece else None, "length_m": None if by_piece else round(part.quantity, 3),
        "where": part.where, "proposed": part.proposed, "lengths_unknown": part.unknown,
    }


def _place(place: Place | None) -> dict[str, Any] | None:
    return None if place is None else {"file": place.file, "line": place.line, "column": place.column}
