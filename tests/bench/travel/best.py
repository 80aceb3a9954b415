"""The best known way over a sheet's stops, by a general-purpose solver (OR-Tools, its routing library).

Reads {"seconds": s, "stops": [{"gates": [[enter x, y, leave x, y], ...], "rank": r, "before": index or null}, ...]} from
standard input, the stops in the order of the way to be beaten, each by its first gate; the way begins at the origin and
ends anywhere. Writes {"ours_mm": length of that way, "best_mm": length of the shortest one found}.

With the gates held fixed (an open line keeps both directions) the solver looks for the best order under the rules; with
the order held fixed dynamic programming finds the best gates; and so on until nothing is gained. It is begun once from
nothing and once from the way that was given.
"""

import json
import sys
from math import hypot

from ortools.constraint_solver import pywrapcp, routing_enums_pb2

SCALE = 1000
FORBIDDEN = 10**9


def length(stops, order, gates):
    x = y = total = 0.0
    for stop in order:
        ex, ey, lx, ly = stops[stop]["gates"][gates[stop]]
        total += hypot(ex - x, ey - y)
        x, y = lx, ly
    return total


def best_gates(stops, order):
    """The gates that make the way in this order shortest."""
    reached, chosen = [(0.0, 0.0, 0.0)], []
    for stop in order:
        row = []
        for ex, ey, lx, ly in stops[stop]["gates"]:
            cost, came = min((c + hypot(ex - x, ey - y), i) for i, (c, x, y) in enumerate(reached))
            row.append((cost, lx, ly, came))
        chosen.append(row)
        reached = [(c, x, y) for c, x, y, _ in row]
    gates = [0] * len(stops)
    gate = min(range(len(reached)), key=lambda i: reached[i][0])
    for stop, row in zip(reversed(order), reversed(chosen)):
        gates[stop] = gate
        gate = row[gate][3]
    return gates


def best_order(stops, gates, begin_with, seconds):
    """The best order the solver finds in so many seconds; `begin_with` is an order or nothing."""
    nodes, of_stop = [(None, 0)], []
    for i, stop in enumerate(stops):
        wanted = [0, 1] if is_open(stop) else [gates[i]]
        of_stop.append(list(range(len(nodes), len(nodes) + len(wanted))))
        nodes += [(i, gate) for gate in wanted]
    manager = pywrapcp.RoutingIndexManager(len(nodes), 1, 0)
    model = pywrapcp.RoutingModel(manager)

    ends = [(0.0, 0.0, 0.0, 0.0)] + [stops[i]["gates"][g] for i, g in nodes[1:]]
    costs = [[round(hypot(b[0] - a[2], b[1] - a[3]) * SCALE) for b in ends] for a in ends]
    for row in costs:
        row[0] = 0  # the way ends anywhere
    model.SetArcCostEvaluatorOfAllVehicles(model.RegisterTransitMatrix(costs))
    for at in of_stop:
        if len(at) > 1:
            model.AddDisjunction([manager.NodeToIndex(n) for n in at], FORBIDDEN, 1)
    one = model.RegisterUnaryTransitCallback(lambda _: 1)
    model.AddDimension(one, 0, len(stops) + 1, True, "place")
    place = model.GetDimensionOrDie("place")
    below = [sum(s["rank"] < r for s in stops) for r in range(4)]
    for i, stop in enumerate(stops):
        for node in of_stop[i]:
            index = manager.NodeToIndex(node)
            place.CumulVar(index).SetRange(below[stop["rank"]] + 1, below[stop["rank"] + 1])
            if stop["before"] is not None:
                later = manager.NodeToIndex(of_stop[stop["before"]][0])
                model.solver().Add(place.CumulVar(index) < place.CumulVar(later))
    search = pywrapcp.DefaultRoutingSearchParameters()
    search.first_solution_strategy = routing_enums_pb2.FirstSolutionStrategy.PATH_CHEAPEST_ARC
    search.local_search_metaheuristic = routing_enums_pb2.LocalSearchMetaheuristic.GUIDED_LOCAL_SEARCH
    search.time_limit.seconds = seconds
    model.CloseModelWithParameters(search)
    solution = None
    if begin_with is not None:
        route = [of_stop[i][gates[i] if is_open(stops[i]) else 0] for i in begin_with]
        first = model.ReadAssignmentFromRoutes([[manager.NodeToIndex(n) for n in route]], True)
        solution = model.SolveFromAssignmentWithParameters(first, search) if first else None
    else:
        solution = model.SolveWithParameters(search)
    if solution is None:
        return None
    order, index = [], solution.Value(model.NextVar(model.Start(0)))
    while not model.IsEnd(index):
        stop, gate = nodes[manager.IndexToNode(index)]
        order.append(stop)
        gates[stop] = gate
        index = solution.Value(model.NextVar(index))
    return order


def is_open(stop):
    return len(stop["gates"]) == 2 and stop["gates"][0][:2] == stop["gates"][1][2:]


def improved(stops, begin_with, gates, seconds):
    best = float("inf")
    while True:
        order = best_order(stops, list(gates), begin_with, seconds)
        if order is None:
            return best
        gates = best_gates(stops, order)
        found = length(stops, order, gates)
        if found > best * 0.9995:
            return min(best, found)
        best, begin_with = found, order


def main():
    given = json.load(sys.stdin)
    stops, seconds = given["stops"], given["seconds"]
    ours = list(range(len(stops)))
    told = length(stops, ours, [0] * len(stops))
    gates = best_gates(stops, ours)
    found = [
        length(stops, ours, gates),
        improved(stops, ours, gates, seconds),
        improved(stops, None, gates, seconds),
    ]
    json.dump({"ours_mm": told, "best_mm": min(found)}, sys.stdout)


if __name__ == "__main__":
    main()
