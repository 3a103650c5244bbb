"""The four states in which a meter is held to a pin: off, run, start, running.

Takes an Operation; gives the states under the heads of a table's columns. A start, and a running
engine, that the user named go before those that are visited: at rest a clutch switch may keep the
starter still, and an oil pressure switch lights its lamp.
"""

from __future__ import annotations

from collections.abc import Iterator

from ..model.electric import Engine
from ..model.electric_words import KEY_OFF
from .operate import Operation, Solved
from .states import case_in_words, name_of

OFF, RUN, START, RUNNING = "off", "run", "start", "running"


def columns(operation: Operation) -> tuple[tuple[str, Solved], ...]:
    """(head, state) of those that exist and have a solution, in driving order."""
    wanted = ((OFF, name_of(KEY_OFF, Engine.STOPPED)), (RUN, name_of("run", Engine.STOPPED)), (START, _named(operation, "start", Engine.CRANKING)), (RUNNING, _named(operation, "run", Engine.RUNNING)))
    return tuple((head, solved) for head, name in wanted if (solved := operation.solved.get(name)) and solved.solution is not None)


def column(operation: Operation, head: str) -> Solved | None:
    """The state under a head; None where there is none."""
    return dict(columns(operation)).get(head)


def columns_in_words(operation: Operation) -> Iterator[str]:
    """``start: key start, engine cranking, S3 pressed``; nothing of those in which the key stands as the head says and the engine too."""
    for head, solved in columns(operation):
        if head in (START, RUNNING):
            yield f"{head}: {case_in_words(operation.wiring.harness, solved.case)}"


def _named(operation: Operation, key: str, engine: Engine) -> str:
    """The first state that the user named with this key and engine and has a solution; else the visited one."""
    named = (name for name, solved in operation.solved.items()
             if solved.case.named and solved.case.key == key and solved.case.engine is engine and solved.solution is not None)
    return next(named, name_of(key, engine))
