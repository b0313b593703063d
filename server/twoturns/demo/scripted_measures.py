"""
Readings as the phone's instruments would have taken them in a scripted job: a made sound, a made
turn, made taps, and the sheet that a phone writes of each.

The sounds and rates are synthetic; what the sheets say of them is computed by the very estimators
that an auditor runs, so a bag of the demo is computed anew like any other.
"""

import hashlib
import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final, TypeVar

import numpy as np
import numpy.typing as npt

from twoturns.instruments import marks, pluck, turn
from twoturns.instruments.pluck_front import CLIP_HZ
from twoturns.instruments.refusal import Refusal, rounded

Samples = npt.NDArray[np.float64]
Found = TypeVar("Found")

_CLIP_S: Final = 1.0
_ONSET_S: Final = 0.4
_APART: Final = 0.004  # three plucks of one span, as a share of the middle one
_LOUDEST: Final = 0.7  # of full scale
_HISS: Final = 0.003
_RATE_HZ: Final = 60  # as browsers tell a gyro's readings
_STILL_US: Final = 1_000_000
_SCALE_PPM: Final = 8_400  # the demo's phone was turned once against the edge of its bench
_ZERO_MDPS: Final = (400, -700, 200)
_DEG_A_SECOND: Final = 70
WHEEL_SHARE: Final = 0.36  # radius of a wheel that fills its photo, of the photo's shorter side
_ZOOM_MILLI: Final = 2_000


@dataclass(frozen=True)
class Measured:
    """What a reading records, beside its limits: the value, the sheet and the sounds under it."""

    value: str
    sheet: Mapping[str, Any]
    clips: tuple[bytes, ...] = ()


def heard(proof: Mapping[str, Any], hz: str, take: bytes) -> Measured:
    """
    Return three plucks of a span that rings at a frequency, heard in a quiet bay.

    Args:
        proof: Of the bundle.
        hz: The span's first mode.
        take: Eight bytes of this recording alone: no two are alike to the bit.
    """
    low, high = str(proof["low"]), str(proof["high"])
    nominal = str(proof.get("target") or (float(low) + float(high)) / 2)
    made = _heard(low, high, nominal, float(hz))
    # Each clip ends with its take, far behind what is listened to.
    clips = tuple(clip[: -len(take)] + take for clip in made.clips)
    plucks = [
        {**row, "clip": hashlib.sha256(clip).hexdigest()}
        for row, clip in zip(made.sheet["plucks"], clips, strict=True)
    ]
    return Measured(made.value, {**made.sheet, "plucks": plucks}, clips)


@lru_cache(maxsize=64)
def _heard(low: str, high: str, nominal: str, hz: float) -> Measured:
    near = pluck.near_range(float(low), float(high), float(nominal))
    rows: list[dict[str, Any]] = []
    clips = []
    for number, share in enumerate((1 - _APART, 1, 1 + _APART)):
        clip = _clip(hz * share, seed=round(hz * 10) * 10 + number)
        samples = pluck.read_clip(clip)
        found = None if samples is None else pluck.estimate(samples, near)
        if found is None or found.comb is None or found.blind is None or found.reject:
            raise ValueError(f"no pluck was heard at {hz} Hz: {found and found.reject}")
        clips.append(clip)
        rows.append(
            {
                "clip": hashlib.sha256(clip).hexdigest(),
                "hz": f"{found.comb.hz:.3f}",
                "q": f"{found.comb.q:.2f}",
                "b": f"{found.comb.b:.5f}",
                "score": f"{found.comb.score:.4f}",
                "strength": f"{found.strength:.1f}",
                "lags": [f"{each:.3f}" for each in found.lags],
                "blind": f"{found.blind.hz:.3f}",
            }
        )
    sheet = {
        **_head("pluck", pluck.EDITION),
        "low": low,
        "high": high,
        "nominal": nominal,
        "sample_rate": CLIP_HZ,
        "processing": {"echo": False, "noise": False, "gain": False},
        "plucks": rows,
    }
    middle = sorted(float(row["hz"]) for row in rows)[1]
    return Measured(f"{rounded(10 * middle) / 10:.1f}", sheet, tuple(clips))


def _clip(hz: float, seed: int) -> bytes:
    """A pluck: damped modes of a string after a quiet moment, with a little hiss under it."""
    rate = CLIP_HZ
    time = np.arange(round((_CLIP_S - _ONSET_S) * rate)) / rate
    struck = np.zeros_like(time)
    for mode in range(1, 7):
        damping = np.pi * hz * mode**0.6 / 14
        struck += np.sin(np.pi * mode * 0.3) / mode * _ring(time, hz * mode, damping)
    sound = np.concatenate([np.zeros(round(_ONSET_S * rate)), struck / np.max(np.abs(struck))])
    sound = _LOUDEST * sound + _HISS * np.random.default_rng(seed).standard_normal(len(sound))
    data = np.round(np.clip(sound, -1, 1) * 32_767).astype("<i2").tobytes()
    return pluck.clip_header(len(data)) + data


def _ring(time: Samples, hz: float, damping: float) -> Samples:
    ring: Samples = np.exp(-damping * time) * np.cos(2 * np.pi * hz * time)
    return ring


def turned(value: str, unit: str, take: bytes) -> Measured:
    """Return one stroke of a tool with the phone on it, clockwise as the hand sees it."""
    began_us = int.from_bytes(take[:4], "big")  # since the page was opened
    angle_deg = float(value) * (360 if unit == "turns" else 1)
    seconds = max(2.0, angle_deg / _DEG_A_SECOND)
    samples = []
    for at in range(round((_STILL_US / 1e6 + seconds + 0.5) * _RATE_HZ)):
        share = min(max((at / _RATE_HZ - _STILL_US / 1e6) / seconds, 0.0), 1.0)
        # From rest to rest with the least jerk; the sensor says a little less than it turned.
        rate = -angle_deg * 30 * share**2 * (1 - share) ** 2 / seconds / (1 + _SCALE_PPM / 1e6)
        told = [
            round((1000 * rate * (axis == 2) + zero) / 100) * 100
            for axis, zero in enumerate(_ZERO_MDPS)
        ]
        samples.append([began_us + round(at * 1e6 / _RATE_HZ), *told])
    sheet = {
        **_head("turn", turn.EDITION),
        "still": {"from_us": began_us, "to_us": began_us + _STILL_US},
        "scale_ppm": _SCALE_PPM,
        "samples": samples,
    }
    found = _found(turn.recompute([sheet]))
    return Measured(turn.in_turns(found) if unit == "turns" else found.value, sheet)


def tapped(wheel: Mapping[str, Any], value: str, photo: tuple[str, int, int]) -> Measured:
    """
    Return the taps on a photo that a wheel fills, its middle in the middle.

    Args:
        wheel: Of the bundle's drive; its mark points as it stands there.
        value: How far the mark is from the pointer, in teeth, above zero clockwise.
        photo: Its SHA-256, width and height.
    """
    blob, width, height = photo
    radius, teeth = WHEEL_SHARE * min(width, height), wheel["teeth"]
    mark, tooth = wheel["mark_mdeg"] / 1000, 360 / teeth
    span = marks.suggested_span(teeth)

    def point(deg: float, share: float) -> list[int]:
        x = width / 2 + share * radius * math.cos(math.radians(deg))
        y = height / 2 - share * radius * math.sin(math.radians(deg))
        return [round(100 * x), round(100 * y)]

    taps = {
        "hub": point(0, 0),
        "tip_a": point(mark + span / 2 * tooth, 1),
        "tip_b": point(mark - span / 2 * tooth, 1),
        "mark": point(mark, 0.85),
        "pointer": point(mark + float(value) * tooth, 1.1),
    }
    sheet = {
        **_head("marks", marks.EDITION),
        "photo": blob,
        "width": width,
        "height": height,
        "teeth": teeth,
        "span": span,
        "zoom_milli": _ZOOM_MILLI,
        "taps": taps,
    }
    found = _found(marks.measure_marks(sheet))
    figures = {"tilt_mdeg": found.tilt_mdeg, "teeth_milli": found.teeth_milli}
    return Measured(found.value, sheet | figures)


def _head(by: str, edition: int) -> dict[str, object]:
    return {"v": 1, "by": by, "edition": edition}


def _found(found: Found | Refusal) -> Found:
    if isinstance(found, Refusal):
        raise ValueError(f"a made reading was refused: {found.message}")  # noqa: TRY004 - its figures are
    return found
