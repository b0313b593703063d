"""
Procedures with a step taken out, or moved to another place, and what objects to them.

A procedure that is proved must not stay so when its list is spoilt. What still is proved then must
have a reason: `ALLOWED` names each such move of the demo procedures with it.
"""

from functools import cache
from random import Random

from demo_procedures import HATCH, ROADSIDE, VAN, text_of
from twoturns.procedure.compile.compiler import compile_document
from twoturns.procedure.errors import SourceErrors
from twoturns.procedure.language import source
from twoturns.procedure.language.source import Document
from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.phrases import Words
from twoturns.procedure.prove.prove import prove_compiled
from twoturns.procedure.prove.straight import never_left, not_straight


class Mutants:
    """
    The mutants of one procedure: a mutant is its ordinary steps in another order, or fewer.

    Args:
        name: The procedure.
        one_phase: Put all steps into one phase, so that nothing but what they do can object.
    """

    def __init__(self, name, *, one_phase=False):
        self.document = source.read(text_of(name).encode())
        steps = self.document.data["steps"]
        if one_phase:
            steps = [{**step, "phase": steps[0]["phase"]} for step in steps]
        self.steps = [step for step in steps if step.get("undo") != "yes"]
        self.ways_back = [step for step in steps if step.get("undo") == "yes"]

    def deletions(self):
        """Each step's name with the list without it."""
        for at, step in enumerate(self.steps):
            yield step["id"], self.steps[:at] + self.steps[at + 1 :]

    def moves(self):
        """Each step's name, each other place (from 1) and the list with it there."""
        for at, step in enumerate(self.steps):
            rest = self.steps[:at] + self.steps[at + 1 :]
            for to in range(len(self.steps)):
                if to != at:
                    yield step["id"], to + 1, [*rest[:to], step, *rest[to:]]

    def compiled(self, steps):
        """The procedure with this list of ordinary steps."""
        data = {**self.document.data, "steps": steps + self.ways_back}
        return compile_document(Document(self.document.root, data), {})

    def objection(self, steps):
        """The code of what objects to a list first, the quick looks before the walk; or None."""
        try:
            compiled = self.compiled(steps)
        except SourceErrors as error:
            return error.problems[0].code
        packed, words = Packed(compiled.bundle["machine"]), Words(compiled.bundle)
        for finding in (*not_straight(packed, words), *never_left(packed, words)):
            return finding.code
        for finding in prove_compiled(compiled).findings:
            return finding.code
        return None


@cache
def mutants_of(name):
    return Mutants(name)


def sampled(moves, size, seed):
    """A sample of the moves, always the same."""
    return Random(seed).sample(moves, size)


# The moves after which a procedure is as safe as before: the step, the places (from 1) and why.
_OPEN = "Papers, kit and tools are looked at one after the other, before anything is touched."
_SAFE = "Cold, raised and dead are three things: each is needed before the work that asks for it."
_STRIP = "It is needed before the work that asks for it, and in nobody's way before."
_DRAIN = "It is drained before the pump comes off."
_LOOK = "Nothing rests on what was found: an owner may accept that the picture is missing."
_PARTS = "The parts go on side by side; all are on and tight before the belt is laid on."
_BUILD = "Covers are shut; mount and damper wait for each other only at the auxiliary belt."
_CALL = "Both are asked on the telephone or on the way, and looked at again at the place."
_LOOKS = "The looks stand side by side, and the cause is named after all of them."
_GROOVES = "Grooves and idler are two things, both before the belt."
_READ = "Reading the arm takes no tool that is counted before it."
_CLOSE = "After the drive, in any order before the hand-over."

ALLOWED: dict[str, dict[str, tuple[tuple[tuple[int, int], ...], str]]] = {
    VAN: {
        "confirm_vehicle": (((2, 3),), _OPEN),
        "check_kit": (((1, 1), (3, 3)), _OPEN),
        "count_tools_out": (((1, 2),), _OPEN),
        "look_first": (((10, 14),), _LOOK),
        "drain_coolant": (((8, 9), (11, 14)), _DRAIN),
        "aux_off": (((9, 10),), _STRIP),
        "mount_off": (((13, 13),), _STRIP),
        "damper_off": (((12, 12),), _STRIP),
        "pump_on": (((23, 25),), _PARTS),
        "stud_in": (((22, 22), (24, 24)), _PARTS),
        "idler_on": (((22, 23), (25, 25)), _PARTS),
        "tensioner_on": (((24, 24),), _PARTS),
        "mount_on": (((38, 38),), _BUILD),
        "damper_on": (((37, 37),), _BUILD),
    },
    HATCH: {
        "confirm_vehicle": (((2, 3),), _OPEN),
        "check_kit": (((1, 1), (3, 3)), _OPEN),
        "count_tools_out": (((1, 2),), _OPEN),
        "wheel_off": (((8, 9),), _STRIP),
        "plugs_out": (((7, 7), (9, 13)), "They are out before the engine is turned."),
        "drain_coolant": (((7, 8), (10, 13)), _DRAIN),
        "aux_off": (((8, 9),), _STRIP),
        "mount_off": (((12, 12),), _STRIP),
        "damper_off": (((11, 11),), _STRIP),
        "pump_on": (((22, 23),), _PARTS),
        "idler_on": (((21, 21), (23, 23)), _PARTS),
        "tensioner_on": (((21, 22),), _PARTS),
        "mount_on": (((36, 36),), _BUILD),
        "damper_on": (((35, 35),), _BUILD),
    },
    ROADSIDE: {
        "take_call": (((2, 5),), _CALL),
        "ask_what_failed": (((1, 1),), _CALL),
        "let_cool": (((10, 10), (12, 12)), _SAFE),
        "battery_off": (((11, 11),), _SAFE),
        "record_path": (((14, 19),), _LOOK),
        "old_belt_out": (((13, 13),), _LOOK),
        "spin_wheels": (((16, 18),), _LOOKS),
        "measure_line": (((15, 15), (17, 18)), _LOOKS),
        "feel_arm": (((13, 16), (18, 18)), _LOOKS),
        "look_at_damper": (((13, 17),), _LOOKS),
        "brush_grooves": (((21, 21),), _GROOVES),
        "change_idler": (((20, 20),), _GROOVES),
        "read_arm": (((28, 28),), _READ),
        "count_tools": (((27, 27),), _READ),
        "hang_tag": (((34, 35),), _CLOSE),
        "bag_old_parts": (((33, 33), (35, 35)), _CLOSE),
        "book_follow_up": (((33, 34),), _CLOSE),
    },
}


def is_allowed(name, step, to):
    """Whether a move is one that leaves the procedure as safe as it was."""
    ranges, _ = ALLOWED[name].get(step, ((), ""))
    return any(low <= to <= high for low, high in ranges)
