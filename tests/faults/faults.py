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
    Fault(1, "browser killed at each point of a save", sim=("browser killed", "battery gone")),
    Fault(
        2,
        "profile damaged: bytes flipped, log cut, files gone",
        sim=(
            "byte flipped: journal",
            "byte flipped: photo",
            "lost: base",
            "lost: journal",
            "lost: base and journal",
        ),
    ),
    Fault(
        3,
        "quota refused in the middle of a transaction",
        sim=("database refuses: QuotaExceededError",),
    ),
    Fault(4, "phone's disk full: a photo does not fit", sim=("disk full",)),
    Fault(
        5,
        "phone's disk at 0 bytes, freed, started again",
        sim=("disk full", "disk freed", "torn log lost"),
    ),
    Fault(6, "page killed while the camera is open", sim=("browser killed", "battery gone")),
    Fault(7, "origin wiped", sim=("origin wiped",)),
    Fault(8, "handle of IndexedDB dies", sim=("handle dies", "database refuses: UnknownError")),
    Fault(9, "answer lost after the commit", sim=("line: answer lost", "line: answer cut")),
    Fault(
        10,
        "request doubled, reordered, delayed past a newer one",
        sim=("line: doubled", "line: late"),
    ),
    Fault(
        11,
        "somebody else answers: a portal, a proxy, a cut TLS line",
        sim=("line: portal", "line: gateway", "line: refused", "line: impostor"),
    ),
    Fault(12, "upload cut at byte N", sim=("line: cut",)),
    Fault(13, "app updated while a job is open"),
    Fault(14, "entries of an older form in the queue"),
    Fault(15, "clock years off, backwards, in another zone", sim=("clock off", "forty days go by")),
    Fault(16, "two devices on one job", sim=("two devices on one job",)),
    Fault(17, "workshop restored from an old backup", sim=("restored from a backup",)),
    Fault(18, "workshop killed at named points", sim=("workshop restarted",)),
    Fault(19, "device revoked while it was offline", sim=("revoked",)),
    Fault(20, "history rewritten in the workshop"),
    Fault(21, "two tabs, two versions", sim=("second window", "window closed")),
    Fault(22, "workshop's disk full", sim=("workshop full",)),
    Fault(23, "n-th write or flush fails in the workshop"),
    Fault(
        24,
        "slow line, long latency, flapping",
        sim=("weather: slow", "weather: flapping", "weather: down"),
    ),
    Fault(25, "bombs, polyglots, archives that slip, nonsense numbers"),
    Fault(26, "parallel uploads, identical and conflicting"),
    Fault(27, "token or invitation used twice, raced, replayed"),
    Fault(28, "signed out or enrolled anew with an unsent queue", sim=("enrolled anew",)),
    Fault(29, "erased, then an old backup restored", sim=("erased", "restored from a backup")),
)
