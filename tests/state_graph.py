"""
A procedure's states as a graph of networkx, which then says what can be reached and from where.

The graph is built by the tests' walker, which knows only formats.md; reaching, shortest ways and
ways back are networkx's. Nothing here is shared with the walk that proves.
"""

from itertools import product

import networkx as nx

from procedure_walk import State, Walker


class StateGraph:
    """
    Args:
        machine: The machine.
        asks: The rules that may be passed.
        whole: Take every state that can be written down, not only those that are met on the way.
    """

    def __init__(self, machine, asks=frozenset(), *, whole=False):
        self.walker, self.asks = Walker(machine), asks
        self.graph, self.done = nx.MultiDiGraph(), nx.DiGraph()
        self.broken = []  # (state, step, rule)
        waiting = self._every_state() if whole else [self.walker.start()]
        seen = set(waiting)
        while waiting:
            state = waiting.pop()
            self.graph.add_node(state)
            self.done.add_node(state)
            for after in self._edges(state):
                if after not in seen:
                    seen.add(after)
                    waiting.append(after)

    def _every_state(self):
        machine = self.walker.machine
        values = product(*(range(len(each["values"])) for each in machine["conditions"]))
        musts = [at for at, step in enumerate(machine["steps"]) if step["must"]]
        todos = [sum(bits) for bits in product(*((0, 1 << at) for at in musts))]
        return [State(each, todo) for each in values for todo in todos]

    def _edges(self, state):
        walker = self.walker
        for at in walker.opened(state):
            broken = walker.broken_rules(at, state)
            self.broken += [(state, at, rule) for rule in broken]
            is_passed = broken and self.asks.issuperset(broken)
            after = walker.passed(at, state) if is_passed else walker.done(at, state)
            self.done.add_edge(state, after)
            reached = [after]
            if not is_passed and walker.may_pass(at, self.asks):
                reached.append(walker.passed(at, state))
            for failure in walker.steps[at]["fails"]:
                reached += walker.failed(at, failure, state)
            for each in reached:
                self.graph.add_edge(state, each)
            yield from reached

    def steps_away(self):
        """Each state that can be reached from the start, with the fewest steps to it."""
        return nx.single_source_shortest_path_length(self.graph, self.walker.start())

    def alive(self, ends):
        """The states from which doing steps leads to one of these ends, by their names."""
        graph = self.done.copy()
        goal = "an end"
        graph.add_edges_from(
            (state, goal)
            for state in self.done
            if any(self.walker.is_finished(state, end) for end in ends)
        )
        return nx.ancestors(graph, goal) if goal in graph else set()
