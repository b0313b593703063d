"""
Which spans of a solved DRIVE are slack.

A belt is pulled into the driving wheel and leaves it slack; each wheel that it drives pulls it
taut again (common practice, no source). The same rule as the phone's
`client/src/parts/drive-sides.ts`, which draws by it.
"""

from __future__ import annotations

from twoturns.procedure import shape


def tensioner_of(drive: shape.Drive) -> int:
    """Where in belt order the tensioner stands: a drive block has one (`solve.py`)."""
    return next(i for i, wheel in enumerate(drive["wheels"]) if "eccentric" in wheel)


def slack_spans(drive: shape.Drive) -> int:
    """
    How many spans are slack, from the driving wheel on, the way the belt runs.

    The slack side leads over the tensioner to the next wheel inside the loop, which the belt
    drives. All other spans are pulled.
    """
    wheels = drive["wheels"]
    after = range(tensioner_of(drive) + 1, len(wheels))
    return next((index for index in after if wheels[index]["inside"]), len(wheels))


def tensions_slack_side(drive: shape.Drive) -> bool:
    """Whether the tensioner takes up the slack: no timed wheel, nor the tight side, before it."""
    before = drive["wheels"][1 : tensioner_of(drive)]
    is_on_time = not any("mark_mdeg" in wheel for wheel in before)
    return is_on_time and slack_spans(drive) < len(drive["wheels"])
