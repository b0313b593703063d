"""
Bolts and studs: stress area, proof load, what torque and angle make of preload, stand-out, bending.

Torque is shown as torque. A preload is only ever a band: at a perfect torque the clamp of ten
lubricated bolts still scattered by 8.4 % (one standard deviation, S3), and friction is a guess.

Sources: S1, ISO 261 and 262 (pitches), ISO 724 (d2 = d - 0.6495 P, d3 = d - 1.2269 P). S2, ISO
898-1: areas and loads as three makers and a handbook of engineering table them, stresses as two do.
S3, Shigley, Mechanical Engineering Design, table 8-14: mean 34.18 kN, standard deviation 2.88 kN.
S4, VDI 2230: the formulas as an engineering site states them, and the table of 2001 as a maker
prints it, which the tests try both against; table A5 of friction as two makers print it. S5, beam
theory (section modulus of a round bar). S6, ISO 4014 (bearing face of the head, the least) and ISO
273 (hole, medium), as two makers table each. S7, a drive maker's engineering guide: steel on steel,
dry and at rest, 0.12 to 0.60. S8, tribology-abc.com: parts are commonly taken for three times as
stiff as their bolt.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

# Thread: diameter, pitches in use (coarse first), and the stress area tabled for the coarse. S1, S2
PITCHES_MM: Final[dict[int, tuple[float, ...]]] = {
    5: (0.8,),
    6: (1.0,),
    7: (1.0,),
    8: (1.25, 1.0),
    10: (1.5, 1.25, 1.0),
    12: (1.75, 1.5, 1.25),
    14: (2.0, 1.5),
    16: (2.0, 1.5),
    18: (2.5, 1.5),
    20: (2.5, 1.5),
}
# Of coarse threads. S2
_TABLED_MM2: Final = {
    (6, 1.0): 20.1,
    (8, 1.25): 36.6,
    (10, 1.5): 58.0,
    (12, 1.75): 84.3,
    (14, 2.0): 115.0,
}
# Of coarse threads. S2
_PROOF_N: Final[dict[tuple[str, int, float], int]] = {
    ("8.8", 6, 1.0): 11_600,
    ("8.8", 8, 1.25): 21_200,
    ("8.8", 10, 1.5): 33_700,
    ("8.8", 12, 1.75): 48_900,
    ("8.8", 14, 2.0): 66_700,
    ("10.9", 6, 1.0): 16_700,
    ("10.9", 8, 1.25): 30_400,
    ("10.9", 10, 1.5): 48_100,
    ("10.9", 12, 1.75): 70_000,
    ("10.9", 14, 2.0): 95_500,
}
PROOF_MPA: Final = {"8.8": 580, "10.9": 830}  # S2; see `_MPA_ABOVE_M16`
YIELD_MPA: Final = {"8.8": 640, "10.9": 940}  # S2
_MPA_ABOVE_M16: Final = {"8.8": (600, 660)}  # S2: thick bolts are of a harder steel; proof, yield
# Bearing under the head: outer diameter, and that of the hole. S6
_HEAD_MM: Final = {
    6: (8.88, 6.6),
    8: (11.63, 9.0),
    10: (14.63, 11.0),
    12: (16.63, 13.5),
    14: (19.64, 15.5),
    16: (22.49, 17.5),
}
# Least, usual, most. Class B, oiled or greased, is 0.08 to 0.16, and its middle the usual; class C,
# bare and as it came from its maker, goes to 0.24. S4, table A5
FRICTION: Final = (0.08, 0.12, 0.24)
_TORQUE_SCATTER: Final = 2 * 0.084  # S3: two standard deviations at one torque
_OF_YIELD: Final = 0.9  # S4: what it brings a bolt to
_DRY: Final = 0.12  # chosen: the least of S7, for a roller on its face
_PARTS_STIFFER: Final = 4.0  # chosen: S8 takes 3, and 4 warns of yield 7 % sooner
_STEEL_MPA: Final = 205_000  # chosen: of the 200 to 210 GPa that tables give for steel
_D2_PART, _D3_PART = 0.6495, 1.2269  # S1: parts of the pitch that d2, d3 are less than d


@dataclass(frozen=True)
class Thread:
    """A metric thread: outer diameter and pitch, mm."""

    diameter_mm: int
    pitch_mm: float

    @property
    def pitch_diameter_mm(self) -> float:
        """d2, mm. S1."""
        return self.diameter_mm - _D2_PART * self.pitch_mm

    @property
    def core_diameter_mm(self) -> float:
        """d3, mm. S1."""
        return self.diameter_mm - _D3_PART * self.pitch_mm

    @property
    def stress_area_mm2(self) -> float:
        """As tabled for coarse threads, else computed: pi/4 ((d2 + d3) / 2)^2. S1, S2."""
        tabled = _TABLED_MM2.get((self.diameter_mm, self.pitch_mm))
        return self._computed_area_mm2 if tabled is None else tabled

    @property
    def _computed_area_mm2(self) -> float:
        return math.pi / 4 * ((self.pitch_diameter_mm + self.core_diameter_mm) / 2) ** 2

    def __str__(self) -> str:
        return f"M{self.diameter_mm}x{self.pitch_mm:g}"


def thread_named(text: str) -> Thread:
    """
    Return a thread by its name: `M10` (coarse) or `M10x1.25`. S1.

    Raises:
        ValueError: It is none that ISO 262 lists from M5 to M20.

    >>> thread_named("M10"), str(thread_named("m10×1.25"))
    (Thread(diameter_mm=10, pitch_mm=1.5), 'M10x1.25')
    """
    plain = "".join(text.upper().split()).replace("×", "X")
    diameter, by, pitch = plain.removeprefix("M").partition("X")
    pitches = PITCHES_MM.get(int(diameter)) if diameter.isdecimal() else None
    if pitches is None:
        known = ", ".join(f"M{each}" for each in PITCHES_MM)
        raise ValueError(f"{text!r} is no thread known here: {known}, or with a pitch, M10x1.25")
    for each in pitches:
        if not by or pitch in (f"{each:g}", f"{each:.1f}", f"{each:.2f}"):
            return Thread(int(diameter), each)
    listed = ", ".join(f"{each:g}" for each in pitches)
    raise ValueError(f"M{int(diameter)} has no pitch of {pitch or '?'} mm in ISO 262: {listed}")


def proof_load_n(thread: Thread, strength: str) -> float:
    """
    Return the load that a bolt bears without lasting stretch, N: tabled, else area times Sp. S2.

    >>> proof_load_n(thread_named("M10"), "10.9")
    48100
    """
    known(strength)
    tabled = _PROOF_N.get((strength, thread.diameter_mm, thread.pitch_mm))
    return thread.stress_area_mm2 * _mpa(thread, strength)[0] if tabled is None else tabled


def _mpa(thread: Thread, strength: str) -> tuple[int, int]:
    """Proof stress and yield of a class at this diameter. S2."""
    usual = PROOF_MPA[strength], YIELD_MPA[strength]
    return _MPA_ABOVE_M16.get(strength, usual) if thread.diameter_mm > 16 else usual


def known(strength: str) -> str:
    """Return a property class, if it is one of ISO 898-1 that stands here."""
    if strength not in PROOF_MPA:
        raise ValueError(f"{strength!r} is no class known here: {', '.join(PROOF_MPA)}")
    return strength


def preload_n(torque_nm: float, thread: Thread, friction: float) -> float:
    """
    Return the preload that a torque makes at one coefficient of friction, N. S4:
    M = F (0.16 P + 0.58 d2 µ + µ Dk / 2).
    """
    _above_zero(torque_nm=torque_nm, friction=friction)
    return torque_nm * 1000 / _torque_per_n_mm(thread, friction)


def torque_nm(force_n: float, thread: Thread, friction: float) -> float:
    """Return the torque that a preload takes, N·m: the same formula, forward. S4."""
    _above_zero(force_n=force_n, friction=friction)
    return force_n * _torque_per_n_mm(thread, friction) / 1000


def _torque_per_n_mm(thread: Thread, friction: float) -> float:
    if thread.diameter_mm not in _HEAD_MM:
        listed = ", ".join(f"M{each}" for each in _HEAD_MM)
        raise ValueError(f"the head of {thread} is not tabled here: only those of {listed}")
    head_mm = sum(_HEAD_MM[thread.diameter_mm]) / 2
    return (
        0.16 * thread.pitch_mm + 0.58 * thread.pitch_diameter_mm * friction + head_mm / 2 * friction
    )


@dataclass(frozen=True)
class Band:
    """A preload, N: what it is between, and how much of that is past the proof load."""

    low_n: float
    usual_n: float
    high_n: float
    proof_n: float

    @property
    def may_yield(self) -> bool:
        """Whether a well oiled bolt is past its proof load at this torque."""
        return self.high_n > self.proof_n

    @property
    def is_overtightened(self) -> bool:
        """At the usual friction already: stretched for good, and the next pull may break it."""
        return self.usual_n > self.proof_n


def preload_band(torque_nm: float, thread: Thread, strength: str) -> Band:
    """
    Return what preload a torque makes between bare and oiled, scatter included. S2, S3, S4.

    Args:
        torque_nm: Torque at the fastener, N·m.
        thread: The bolt's thread.
        strength: Its property class, "8.8" or "10.9".
    """
    oiled, usual, bare = (preload_n(torque_nm, thread, each) for each in FRICTION)
    low, high = bare * (1 - _TORQUE_SCATTER), oiled * (1 + _TORQUE_SCATTER)
    return Band(low, usual, high, proof_load_n(thread, strength))


def preload_at_yield_n(thread: Thread, strength: str, friction: float) -> float:
    """Return the preload at 90 % of yield, the torsion of tightening included, N. S4."""
    known(strength)
    _above_zero(friction=friction)
    d2, d3 = thread.pitch_diameter_mm, thread.core_diameter_mm
    d0 = (d2 + d3) / 2
    twist = 1.5 * d2 / d0 * (thread.pitch_mm / (math.pi * d2) + 1.155 * friction)
    area = math.pi / 4 * d0**2
    return _OF_YIELD * _mpa(thread, strength)[1] * area / math.sqrt(1 + 3 * twist**2)


@dataclass(frozen=True)
class AngleTightening:
    """
    What an angle adds to the snug bolt's preload, N, and what that means for the bolt.

    `yield_n` is the preload at which it yields while it is twisted as well (S4).
    """

    snug_n: float
    added_n: float  # if all stayed elastic
    proof_n: float
    yield_n: float

    @property
    def reached_n(self) -> float:
        """The preload there is then: a bolt that yields pulls no harder."""
        return min(self.snug_n + self.added_n, self.yield_n)

    @property
    def is_past_yield(self) -> bool:
        """A torque-to-yield joint: the estimate is no preload, and the bolt is used once."""
        return self.snug_n + self.added_n > self.proof_n


def tightened_by_angle(
    angle_deg: float,
    thread: Thread,
    strength: str,
    *,
    clamped_mm: float,
    snug_n: float = 0.0,
    joint_stiffness: float = _PARTS_STIFFER,
    modulus_mpa: float = _STEEL_MPA,
) -> AngleTightening:
    """
    Return what turning a seated bolt adds: F = P/360 · a · kb·km / (kb + km). S5.

    Args:
        angle_deg: Turned after the snug torque, degrees.
        clamped_mm: Length clamped between head and thread, mm.
        snug_n: Preload that the snug torque made, N.
        joint_stiffness: How many times stiffer the parts are than the bolt. Nobody measures it.
        modulus_mpa: Of the bolt, MPa.

    >>> round(tightened_by_angle(1, thread_named("M10"), "10.9", clamped_mm=40).added_n, -1)
    990.0
    """
    _above_zero(angle_deg=angle_deg, clamped_mm=clamped_mm, joint_stiffness=joint_stiffness)
    if not 0 <= snug_n < math.inf:
        raise ValueError(f"snug_n must be finite and not below zero, got {snug_n!r}")
    bolt = modulus_mpa * thread.stress_area_mm2 / clamped_mm
    both = bolt * joint_stiffness / (1 + joint_stiffness)
    return AngleTightening(
        snug_n,
        thread.pitch_mm / 360 * angle_deg * both,
        proof_load_n(thread, strength),
        preload_at_yield_n(thread, strength, FRICTION[1]) / _OF_YIELD,
    )


@dataclass(frozen=True)
class StandOut:
    """How far a stud is from its seat: turns it still lacks, and how well a rule can tell."""

    turns: float
    within_turns: float
    is_seated: bool


def stud_turns(
    stand_out_mm: float, seated_mm: float, thread: Thread, *, within_mm: float = 0.5
) -> StandOut:
    """
    Return how many turns a stud stands out too far; below zero: it went in too deep.

    Args:
        stand_out_mm: Measured from the face it is screwed into, mm.
        seated_mm: What it is when the stud is seated, mm.
        thread: Of the screwed-in end.
        within_mm: How well it was measured: a rule 0.5, a caliper 0.1. Common practice, no source.

    >>> round(stud_turns(34.875, 33, thread_named("M8")).turns, 6)
    1.5
    """
    _above_zero(stand_out_mm=stand_out_mm, seated_mm=seated_mm, within_mm=within_mm)
    pitch = thread.pitch_mm
    if within_mm >= pitch:
        raise ValueError(
            f"within {within_mm:g} mm no turn of {thread} can be told, it is {pitch:g} mm: "
            "measure with a caliper"
        )
    # As typed: in binary 34.2 less 34.1 is more than 0.1, and a stud at its very limit unseated.
    apart_mm = Decimal(str(stand_out_mm)) - Decimal(str(seated_mm))
    is_seated = abs(apart_mm) <= Decimal(str(within_mm))
    return StandOut(float(apart_mm) / pitch, within_mm / pitch, is_seated)


def hub_load_n(tension_n: float, wrap_deg: float) -> float:
    """Return the pull of a belt on a roller, N: 2 T sin(wrap / 2)."""
    _above_zero(tension_n=tension_n, wrap_deg=wrap_deg)
    if wrap_deg >= 360:
        raise ValueError(f"wrap_deg must be below 360, got {wrap_deg!r}")
    return 2 * tension_n * math.sin(math.radians(wrap_deg) / 2)


def bending_mpa(load_n: float, arm_mm: float, thread: Thread) -> float:
    """
    Return the bending stress in a stud whose roller stands off its face, MPa: 32 F a / (pi d3^3).

    It turns round with the belt's pull at every start and stop: such a stud breaks by fatigue. S5.

    >>> round(bending_mpa(1000, 10, thread_named("M8")), 1)
    376.7
    """
    _above_zero(load_n=load_n, arm_mm=arm_mm)
    return 32 * load_n * arm_mm / (math.pi * thread.core_diameter_mm**3)


def flush_reserve(load_n: float, clamp_n: float) -> float:
    """Return how many times friction under a flush roller holds its pull. Below 1 it slips."""
    _above_zero(load_n=load_n, clamp_n=clamp_n)
    return clamp_n * _DRY / load_n


def _above_zero(**figures: float) -> None:
    for name, value in figures.items():
        if not (math.isfinite(value) and value > 0):
            raise ValueError(f"{name} must be finite and above zero, got {value!r}")
