"""harnessdoc: from a plain-text description of a vehicle wiring harness to its book.

    import harnessdoc

    loaded = harnessdoc.load("linnet.yaml")
    book = harnessdoc.draw(loaded)
    harnessdoc.bind(book, "out")

``load``, ``check``, ``draw``, ``bind``, ``trace`` and ``compare`` are those of ``harnessdoc.steps``.
"""

from __future__ import annotations

__all__ = ["bind", "check", "compare", "draw", "load", "trace"]
__version__ = "0.1.0"


def __getattr__(name: str):
    # the steps are imported on first use, so that the command line starts fast
    if name in __all__:
        from . import steps

        return getattr(steps, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
