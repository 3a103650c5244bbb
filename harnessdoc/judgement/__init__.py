"""What follows from the solved harness: drops, wires, fuses, budget, when a circuit is live, how it is powered first.

Takes an Operation (and the geometry); gives values with their sums in words. Nothing is solved
here that ``operation`` has not solved; it is reckoned when a sheet, a rule or a comparison asks.
"""
