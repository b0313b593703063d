"""
The faults that Two Turns is held against, and where each one is made to happen.

``sim`` names what the nemesis of the simulation does (``tests/faults/sim``), ``browser`` and
``server`` name tests: ``test_file.py::test_name``, below ``tests/faults/browser`` and
``tests/faults/server``, or a path from the root for a test elsewhere. ``beyond`` says what cannot
be made to happen here, and why.
"""

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Fault:
    """One kind of harm, and what makes it happen in our tests."""

    number: int
    name: str
    sim: tuple[str, ...] = field(default=(), kw_only=True)
    browser: tuple[str, ...] = field(default=(), kw_only=True)
    server: tuple[str, ...] = field(default=(), kw_only=True)
    beyond: str = field(default="", kw_only=True)


FAULTS = (
    Fault(1, "browser killed at each point of a save"),
    Fault(2, "profile damaged: bytes flipped, log cut, files gone"),
    Fault(3, "quota refused in the middle of a transaction"),
    Fault(4, "phone's disk full: a photo does not fit"),
    Fault(5, "phone's disk at 0 bytes, freed, started again"),
    Fault(6, "page killed while the camera is open"),
    Fault(7, "origin wiped"),
    Fault(8, "handle of IndexedDB dies"),
    Fault(9, "answer lost after the commit"),
    Fault(10, "request doubled, reordered, delayed past a newer one"),
    Fault(11, "somebody else answers: a portal, a proxy, a cut TLS line"),
    Fault(12, "upload cut at byte N"),
    Fault(13, "app updated while a job is open"),
    Fault(14, "entries of an older form in the queue"),
    Fault(15, "clock years off, backwards, in another zone"),
    Fault(16, "two devices on one job"),
    Fault(17, "workshop restored from an old backup"),
    Fault(18, "workshop killed at named points"),
    Fault(19, "device revoked while it was offline"),
    Fault(20, "history rewritten in the workshop"),
    Fault(21, "two tabs, two versions"),
    Fault(22, "workshop's disk full"),
    Fault(23, "n-th write or flush fails in the workshop"),
    Fault(24, "slow line, long latency, flapping"),
    Fault(25, "bombs, polyglots, archives that slip, nonsense numbers"),
    Fault(26, "parallel uploads, identical and conflicting"),
    Fault(27, "token or invitation used twice, raced, replayed"),
    Fault(28, "signed out or enrolled anew with an unsent queue"),
    Fault(29, "erased, then an old backup restored"),
)
