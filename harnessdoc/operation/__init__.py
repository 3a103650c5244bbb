"""The harness in operation: its circuit, solved in every state a driver makes.

Takes a harness with its network and geometry; gives states, voltages, currents and
readings. Solving itself is ``electric``; what follows for wires and fuses is ``judgement``.
"""
