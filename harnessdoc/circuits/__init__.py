"""From a harness to its circuit diagrams: which wires go on which page, which end of each is above, and what stands for each thing.

Takes a harness and its network; gives pages, each a ``diagram.graph.Graph`` with the figures that are drawn at its nodes.
Nothing is placed here (``diagram``), and no paper is known but the size of what is printed.
"""
