"""Makes networks.json: random job networks and their early and late times, worked out with networkx.

Nothing of this program is in it. Early start: the longest path to a job; late start: the length of all
less the longest path from it on. Run from the root of the repository; prints to standard output.
"""

import json
import random

import networkx as nx


def longest(graph, nodes):
    """The longest path in a part of the graph, by the hours of the jobs on it."""
    part = graph.subgraph(nodes)
    hours = nx.get_node_attributes(part, "hours")
    ends = nx.DiGraph()
    ends.add_nodes_from((node, side) for node in part for side in (0, 1))
    ends.add_edges_from((((node, 0), (node, 1), {"weight": hours[node]}) for node in part))
    ends.add_edges_from((((a, 1), (b, 0), {"weight": 0}) for a, b in part.edges))
    return nx.dag_longest_path_length(ends)


def network(dice):
    jobs = [f"j{number}" for number in range(dice.randint(3, 16))]
    graph = nx.DiGraph()
    for job in jobs:
        # Few different hours, so that there are ties and several critical chains.
        graph.add_node(job, hours=dice.choice([0, 1, 2, 2, 3, 4, 6, 9]))
    share = dice.choice([0.1, 0.25, 0.5])
    for place, job in enumerate(jobs):
        graph.add_edges_from((first, job) for first in jobs[:place] if dice.random() < share)
    assert nx.is_directed_acyclic_graph(graph)
    length = longest(graph, graph.nodes)
    rows = []
    for job in jobs:
        hours = graph.nodes[job]["hours"]
        early = longest(graph, nx.ancestors(graph, job) | {job}) - hours
        late = length - longest(graph, nx.descendants(graph, job) | {job})
        rows.append(
            {"id": job, "hours": hours, "follows": sorted(graph.predecessors(job)), "early": early, "late": late}
        )
    dice.shuffle(rows)
    return {"length": length, "jobs": rows}


dice = random.Random(20310502)
print(json.dumps({"networks": [network(dice) for _ in range(200)]}, separators=(",", ":")))
