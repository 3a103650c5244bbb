"""What of a merged harness is there already, as found, and is neither cut nor bought.

Takes: the merge, its harness, and the id of a thing or the address of a contact. A contact is as found where
all wires at it are those of its own vehicle; a wire, cable or segment where it comes from a source.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from ..model.harness import Harness
    from .plan import Merge


def found_in(merge: Merge, harness: Harness) -> Callable[[str], bool]:
    """Whether a thing, by its id or address in the merge, is there already."""
    return partial(_is_found, merge, harness)


def _is_found(merge: Merge, harness: Harness, name: str) -> bool:
    source = merge.source_of(name)
    return source is not None and all(merge.source_of(wire) is source for wire in harness.wires_at.get(name, ()))
