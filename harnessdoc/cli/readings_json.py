"""Readings as JSON: of one state with all it rests on, or of all states that were visited.

Takes an Operation and what was asked for; gives text. Numbers have their unit in the key and
are null where there is none, ``why`` then says why.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from ..judgement.wires import carried_in
from ..operation.operate import Operation, Solved
from ..operation.report import NoReading, given_by, left_out_of, minus_of, outputs_on, readings_of, relays_in, solenoids_in, typical_of, units_at_work

_PLACES = 5
"""Decimals of volts and amps: a hundredth of a mV is finer than any meter at the bench."""


def of_state(operation: Operation, solved: Solved, addresses: Sequence[str], against: str | None) -> str:
    """Everything about one state."""
    wiring = operation.wiring
    return _text({
        **_head(operation, against),
        **_state(operation, solved, addresses, against),
        "relays": relays_in(operation, solved), "solenoids": solenoids_in(operation, solved), "units": units_at_work(operation, solved),
        "outputs": outputs_on(operation, solved),
        "loads": [{"id": load.id, "title": load.title, "rated": load.rated, "used": load.used, "amps": _amps(solved, load.element)}
                  for load in wiring.loads if load.element and not load.pulsed],
        "wires": [{"id": one.wire, "amps": _rounded(one.current_a), "drop_v": _rounded(one.drop_v), "watts": _rounded(one.power_w)}
                  for one in carried_in(operation, solved)],
        "left_out": [{"thing": aside.thing, "words": aside.words} for aside in left_out_of(operation, solved)],
        "typical": [{"thing": thing, "words": words} for thing, words in typical_of(operation, solved)],
    })


def of_states(operation: Operation, addresses: Sequence[str], against: str | None) -> str:
    """All states that were visited; readings at the addresses that were named, in each."""
    return _text({**_head(operation, against), "states": [_state(operation, solved, addresses, against) for solved in operation.solved.values()]})


def _head(operation: Operation, against: str | None) -> dict[str, Any]:
    harness = operation.wiring.harness
    return {"title": harness.title, "against": against or minus_of(operation)[0], "states_visited": len(operation.solved)}


def _state(operation: Operation, solved: Solved, addresses: Sequence[str], against: str | None) -> dict[str, Any]:
    case, is_solved = solved.case, solved.solution is not None
    return {
        "state": case.name, "key": case.key, "engine": case.engine.value, "switches": dict(case.switches), "commanded": case.commanded, "solved": is_solved,
        "faults": [{"code": fault.code, "words": fault.words, "elements": fault.elements} for fault in solved.faults],
        "supplies": [{"id": one.device.id, "kind": one.kind, "volts": _rounded(one.volts), "amps": _rounded(one.amps), "limit": one.limit}
                     for one in given_by(operation, solved)] if is_solved else [],
        "readings": [_reading(operation, address, shown) for address, shown in
                     ((reading.address, reading.shown) for reading in readings_of(operation, solved, addresses, against))] if is_solved else [],
    }


def _reading(operation: Operation, address: str, shown: float | NoReading) -> dict[str, Any]:
    function = operation.wiring.harness.contacts[address].function
    if isinstance(shown, NoReading):
        return {"address": address, "function": function, "volts": None, "why": shown.value}
    return {"address": address, "function": function, "volts": _rounded(shown), "why": ""}


def _amps(solved: Solved, element: str) -> float | None:
    amps = solved.solution.currents.get(element) if solved.solution else None
    return None if amps is None else _rounded(amps)


def _rounded(value: float) -> float:
    """No minus before a nought."""
    return round(value, _PLACES) + 0.0


def _text(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, indent=1)
