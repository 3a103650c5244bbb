"""Graphviz in a process of its own: it ends the process it runs in where a graph is beyond it.

Takes graphs in the DOT language, one a line of JSON, on its standard input; answers each with a line of JSON: the box of
the drawing, the middle of each node and the points of each edge by its ``id``, in points of Graphviz. Runs as a file,
and imports nothing of this program. The first line it writes says whether the engine is there.
"""

from __future__ import annotations

import json
import sys


def main() -> None:
    """Answers until its input ends."""
    try:
        from pygraphviz import AGraph
    except ImportError:
        print(json.dumps(False), flush=True)
        return
    print(json.dumps(True), flush=True)
    for line in sys.stdin:
        graph = AGraph(string=json.loads(line))
        graph.layout("dot")
        answer = {
            "box": graph.graph_attr["bb"], "nodes": {str(node): node.attr["pos"] for node in graph.nodes()},
            "edges": {edge.attr["id"]: edge.attr["pos"] for edge in graph.edges() if edge.attr["id"]},
        }
        print(json.dumps(answer), flush=True)


if __name__ == "__main__":
    main()
