"""
Three witnesses of a pitch that look for a period, not for a comb of modes.

They are biased by a belt's stiffness, so they never give the answer; but they fail in other ways
than the comb does, and where two of three are near it, the comb has not lost its way. Twin of
client/src/instruments/pluck-lags.ts.

    MPM   McLeod, Wyvill: A smarter way to find pitch, ICMC 2005
    YIN   de Cheveigné, Kawahara: YIN, JASA 111 (2002) 1917
    ACF   the highest peak of the normalised autocorrelation
"""

from __future__ import annotations

import numpy as np

from twoturns.instruments.pluck_front import RATE_HZ, Samples

LOW_HZ = 25.0  #: chosen: a long span that hangs slack
HIGH_HZ = 450.0  #: chosen: a short span, tight
LONGEST = RATE_HZ // 25  #: chosen, lag in samples: the period of the lowest note
SHORTEST = 8  #: chosen, 500 Hz: the parabola needs a sample beyond 450 Hz
MPM_SHARE = 0.85  #: chosen, of the 0.8 to 1.0 that MPM's paper names
YIN_THRESHOLD = 0.2  #: chosen on the bench: YIN's paper has 0.1, a damped belt is less periodic
YIN_SAMPLES = 960  #: chosen, 0.24 s: six periods of the lowest note


def parabola(left: float, middle: float, right: float) -> float:
    """Return where, in -0.5 to 0.5, the parabola through three points has its vertex."""
    bend = left - 2 * middle + right
    return 0.0 if bend == 0 else max(-0.5, min(0.5, 0.5 * (left - right) / bend))


def similarity(part: Samples) -> Samples:
    """Return McLeod's normalised square difference function for the lags 0 to LONGEST + 1."""
    found = np.zeros(LONGEST + 2)
    for lag in range(len(found)):
        early, late = part[: len(part) - lag], part[lag:]
        energy = float(early @ early + late @ late)
        found[lag] = 2 * float(early @ late) / energy if energy > 0 else 0.0
    return found


def peaks(values: Samples) -> list[int]:
    """Return the lags of the local maxima above zero between the shortest and the longest lag."""
    return [
        lag
        for lag in range(SHORTEST, LONGEST + 1)
        if values[lag] > 0 and values[lag - 1] < values[lag] >= values[lag + 1]
    ]


def hz_at(values: Samples, lag: int) -> float:
    """Return the note of a peak at a lag, Hz: its top lies between two samples."""
    return float(RATE_HZ / (lag + parabola(values[lag - 1], values[lag], values[lag + 1])))


def mpm(part: Samples) -> float:
    """Return the first peak that reaches a share of the highest; 0 where there is none."""
    values = similarity(part)
    found = peaks(values)
    if not found:
        return 0.0
    enough = MPM_SHARE * max(values[lag] for lag in found)
    return hz_at(values, next(lag for lag in found if values[lag] >= enough))


def acf(part: Samples) -> float:
    """Return the highest peak of the autocorrelation, which falls with the lag; 0 without one."""
    values = np.array([part[: len(part) - lag] @ part[lag:] for lag in range(LONGEST + 2)])
    found = peaks(values)
    return hz_at(values, max(found, key=lambda lag: values[lag])) if found else 0.0


def yin(part: Samples) -> float:
    """Return the first dip below the threshold, else the deepest one."""
    width = min(YIN_SAMPLES, len(part)) - LONGEST - 1
    if width < 1:
        return 0.0
    difference = np.array(
        [float(np.sum((part[:width] - part[lag : lag + width]) ** 2)) for lag in range(LONGEST + 2)]
    )
    sums = np.cumsum(difference)
    mean = np.ones(LONGEST + 2)
    lags = np.arange(1, LONGEST + 2)
    mean[1:] = np.where(sums[1:] > 0, difference[1:] * lags / np.maximum(sums[1:], 1e-300), 1.0)
    dips = peaks(2.0 - mean)
    if not dips:
        return 0.0
    low = next((lag for lag in dips if mean[lag] < YIN_THRESHOLD), None)
    return hz_at(-mean, min(dips, key=lambda lag: mean[lag]) if low is None else low)


def witnesses(part: Samples) -> tuple[float, float, float]:
    """Return what the three read in a part of a pluck at 4 kHz, Hz; 0 where one reads nothing."""
    return mpm(part), yin(part), acf(part)
