"""
A phone on a tool that turns: rates as its gyro tells them, for the tests and the bench of `turn`.

The motion is made from orientations by scipy; nothing of ours is in it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.spatial.transform import Rotation

FINE_HZ = 480


@dataclass(frozen=True)
class Motion:
    """Figures of a phone's gyro as section 10 of our design's checks lists them."""

    angle_deg: float = 90.0
    seconds: float = 3.0
    mounting_deg: float = 15.0  # the phone's screen is up to this far from square to the axis
    wobble_deg: float = 3.0
    scale_sd: float = 0.01
    zero_dps: float = 3.0  # each axis within +- this
    noise_dps: float = 0.04
    rounding_dps: float = 0.1
    jitter_ms: float = 1.0
    hertz: float = 60.0
    still_noise_dps: float = 0.0  # a hand that trembles during the still second


def eased(share: np.ndarray) -> np.ndarray:
    """A hand's turn: from rest to rest with the least jerk."""
    share = np.clip(share, 0, 1)
    return share**3 * (10 - 15 * share + 6 * share**2)


def orientations(motion: Motion, times: np.ndarray, rng: np.random.Generator) -> Rotation:
    """Return where the phone points: mounting first, then the turn, then the wobble of the hand."""
    tilt = np.radians(motion.mounting_deg) * np.sqrt(rng.random())
    around = rng.uniform(0, 2 * np.pi)
    mounting = Rotation.from_rotvec(tilt * np.array([np.cos(around), np.sin(around), 0]))
    angle = -np.radians(motion.angle_deg) * eased((times - 1.2) / motion.seconds)
    turn = Rotation.from_rotvec(np.outer(angle, [0, 0, 1]))
    begun = np.clip((times - 1.1) * 10, 0, 1)[:, None]

    def sway(share: float) -> Rotation:
        beats = rng.uniform(0.3, 1.2, 2) * 2 * np.pi
        size = begun * np.radians(motion.wobble_deg) * share
        rock = np.sin(np.outer(times - 1.1, beats)) * size
        return Rotation.from_rotvec(np.column_stack([rock, np.zeros(len(times))]))

    # The tool leans as a whole, and droops in a direction that turns with it.
    return sway(0.7) * turn * sway(0.7) * mounting


def sheet(motion: Motion, rng: np.random.Generator, *, scale_ppm: int = 0) -> dict[str, object]:
    """Return a sheet as the phone makes it: clockwise, as one sees it who faces the screen."""
    times = np.arange(0, 1.2 + motion.seconds + 0.3, 1 / FINE_HZ)
    path = orientations(motion, times, rng)
    rates = np.degrees((path[:-1].inv() * path[1:]).as_rotvec()) * FINE_HZ
    middle = (times[:-1] + times[1:]) / 2
    at = np.arange(0.01, times[-1] - 0.01, 1 / motion.hertz)
    told = np.column_stack([np.interp(at, middle, rates[:, axis]) for axis in range(3)])
    told *= 1 + rng.normal() * motion.scale_sd
    told += rng.uniform(-1, 1, 3) * motion.zero_dps + rng.normal(size=told.shape) * motion.noise_dps
    told[at < 1.0] += rng.normal(size=(int((at < 1.0).sum()), 3)) * motion.still_noise_dps
    if motion.rounding_dps:
        told = np.round(told / motion.rounding_dps) * motion.rounding_dps
    stamps = at + rng.normal(size=len(at)) * motion.jitter_ms / 1000
    stamps = np.maximum.accumulate(np.round((stamps - stamps[0]) * 1e6).astype(int))
    stamps += np.arange(len(stamps))  # strictly upward
    samples = [
        [int(t), *(round(1000 * float(rate)) for rate in row)]
        for t, row in zip(stamps, told, strict=True)
    ]
    return {"still": {"from_us": 0, "to_us": 1_000_000}, "scale_ppm": scale_ppm, "samples": samples}
