"""The harness in operation: its circuit, solved in every state a driver makes, and judged.

Takes a harness with its network and geometry; gives states, voltages, currents,
readings, and what follows for wires and fuses. Solving itself is ``electric``.
"""
