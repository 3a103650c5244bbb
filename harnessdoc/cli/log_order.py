"""Which of two change logs goes on from the other.

Takes the logs of two versions, as the model has them; gives the words of what is amiss, ""
where nothing is. Entries are known again by revision and date: what they say may be mended.
"""

from __future__ import annotations

from ..model.harness import Revision


def exchanged(old: tuple[Revision, ...], new: tuple[Revision, ...]) -> str:
    """``revision F of 2026-11-29 before G of 2026-11-30``, where the new log ends before the old one does."""
    if not old or not new:
        return ""
    last_old, last_new = old[-1], new[-1]
    goes_on = _key(last_new) in map(_key, old[:-1]) and _key(last_old) not in map(_key, new)
    # days stand as year-month-day, so that text sorts as time does
    return f"{entry_words(last_new)} before {last_old.revision} of {last_old.date}" if goes_on or last_new.date < last_old.date else ""


def gained(old: tuple[Revision, ...], new: tuple[Revision, ...]) -> str:
    """``revision C of 2026-02-03``, the last entry of the new log, where it came since the old version."""
    return entry_words(new[-1]) if len(new) > len(old) and _key(new[-1]) not in map(_key, old) else ""


def entry_words(entry: Revision) -> str:
    """``revision C of 2026-02-03``."""
    return f"revision {entry.revision} of {entry.date}"


def _key(entry: Revision) -> tuple[str, str]:
    return entry.revision, entry.date
