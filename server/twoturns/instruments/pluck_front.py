"""
From a recorded clip to the pluck in it: rate, noise, the moment it begins.

Twin of client/src/instruments/pluck-front.ts, step by step and figure by figure: what the phone
accepts, the workshop and an auditor must accept, too. Figures without a source were chosen on
synthetic belts and real strings (tests/bench/bench_pluck.py); they are nobody's published values.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Samples = npt.NDArray[np.float64]

CLIP_HZ = 48_000  #: chosen, rate of a clip: what phones record at
RATE_HZ = 4_000  #: chosen, what is worked at: a span's lowest modes lie below 1.5 kHz
STEP = CLIP_HZ // RATE_HZ
HALF_TAPS = 120  #: chosen: a slope of 1 kHz, so that what folds back lies above the highest mode
CUT_HZ = 1_800  #: chosen: above every mode that is fitted, below half the rate
KAISER_BETA = 8.0  #: chosen: 81 dB by Kaiser's formula, more than a phone's microphone tells apart
ORDER = 24  #: chosen on the bench, of the noise model
NOISE_SAMPLES = 1_200  #: chosen, 0.3 s: what is quiet before a pluck at least
NOISE_STEP = 400  #: chosen, 0.1 s: none of a noise's three may be silent,
STEADY = 3.0  #: chosen on the bench: nor so much louder than another, as a belt ringing out is
BEFORE_SAMPLES = 360  #: chosen on the bench: a rise is measured against the 90 ms before it
RISE_SAMPLES = (40, 120, 360)  #: chosen on the bench: 10, 30 and 90 ms
LEAST_SAMPLES = 2_000  #: chosen, 0.5 s: a shorter clip holds no pluck with the quiet before it
SILENCE = 1e-14  #: chosen: power added to a noise model, so that digital silence has one
NO_SOUND = 1e-13  #: chosen: power; the last bit of 16 has more
EDGE_SAMPLES = 12  #: chosen: what the decimation of a clip that breaks off spoils at its end

_at = np.arange(-HALF_TAPS, HALF_TAPS + 1)
_sinc = (
    2 * CUT_HZ / CLIP_HZ * np.sinc(2 * CUT_HZ / CLIP_HZ * _at) * np.kaiser(len(_at), KAISER_BETA)
)
LOW_PASS: Samples = _sinc / _sinc.sum()


@dataclass(frozen=True)
class Onset:
    """Where a pluck begins, in samples at 4 kHz, and how far it stands out of what came before."""

    at: int
    strength: float


def decimate(samples: Samples) -> Samples:
    """Return a clip at 4 kHz, without its mean: a microphone may have one."""
    slow = np.convolve(samples, LOW_PASS)[HALF_TAPS : HALF_TAPS + len(samples) : STEP]
    slow = slow[: len(samples) // STEP]
    level: Samples = slow - slow.mean() if len(slow) else slow
    return level


def noise_of(slow: Samples) -> Samples:
    """
    Return the clip's first 0.3 s; where they hold a pluck or digital silence, its quietest 0.3 s.

    A recorder that starts late or pads a clip leaves zeros, which are nobody's noise.
    """
    blocks = len(slow) // NOISE_STEP
    powers = np.var(slow[: blocks * NOISE_STEP].reshape(blocks, NOISE_STEP), axis=1)
    three = np.lib.stride_tricks.sliding_window_view(powers, 3)
    is_noise = (three.min(axis=1) > NO_SOUND) & (three.max(axis=1) < STEADY * three.min(axis=1))
    sums = np.where(is_noise, three.sum(axis=1), np.inf)
    quietest = int(np.argmin(sums))
    first = quietest * NOISE_STEP if sums[quietest] < sums[0] / 4 else 0
    return slow[first : first + NOISE_SAMPLES]


def whitener(noise: Samples, extra_power: float) -> Samples:
    """
    Return the FIR that makes the noise white: autocorrelation method, Levinson-Durbin.

    A FIR keeps damped exponentials damped exponentials, so the comb can be fitted behind it.
    ``extra_power`` bounds how deep it may dig at the noise's own tones, which a belt may share.
    """
    count = len(noise)
    lags = np.array([noise[: count - lag] @ noise[lag:] for lag in range(ORDER + 1)]) / count
    lags[0] += extra_power + SILENCE
    taps = np.zeros(ORDER + 1)
    taps[0], left = 1.0, lags[0]
    for order in range(1, ORDER + 1):
        mirror = -(taps[:order] @ lags[order:0:-1]) / left
        taps[: order + 1] += mirror * taps[: order + 1][::-1].copy()
        left *= 1 - mirror * mirror
    return taps


def power_left(noise: Samples, taps: Samples) -> float:
    """Return the power of a noise behind its whitener, where the filter has seen enough of it."""
    return float(np.mean(filtered(noise, taps)[ORDER:] ** 2))


def filtered(slow: Samples, taps: Samples) -> Samples:
    """Return a sound behind a filter, as long as it was; the filter has seen nothing before it."""
    return np.convolve(slow, taps)[: len(slow)]


def find_onset(slow: Samples) -> Onset:
    """
    Return the steepest rise of energy over the noise.

    ``sqrt(L) ln(E after / E before)`` for L of 10, 30 and 90 ms: the logarithm of a ratio of
    energies of noise has a spread of about 1/sqrt(L), so one threshold fits all three.
    """
    noise = noise_of(slow)
    taps = whitener(noise, 0.001 * float(noise @ noise) / len(noise))
    power = filtered(slow, taps) ** 2
    floor = power_left(noise, taps) + 1e-20
    power[:ORDER] = power[-EDGE_SAMPLES:] = floor  # the filters have not seen enough there
    # Before the clip there was noise.
    sums = np.concatenate(
        [[0.0], np.cumsum(np.concatenate([np.full(BEFORE_SAMPLES, floor), power]))]
    )
    best = Onset(0, -np.inf)
    for length in RISE_SAMPLES:
        at = np.arange(len(power) - length + 1)
        before = (sums[at + BEFORE_SAMPLES] - sums[at]) / BEFORE_SAMPLES
        after = (sums[at + BEFORE_SAMPLES + length] - sums[at + BEFORE_SAMPLES]) / length
        rise = np.sqrt(length) * np.log(np.maximum(after, 1e-20) / np.maximum(before, floor))
        top = int(np.argmax(rise))
        if rise[top] > best.strength:
            best = Onset(top, float(rise[top]))
    return Onset(_refined(power, best.at, floor), best.strength)


def _refined(power: Samples, at: int, floor: float) -> int:
    """Return the first 4 ms around a rise that hold a quarter of the power of its loudest 4 ms."""
    first = max(0, at - 40)
    part = power[first : min(len(power), at + 376)]
    sums = np.concatenate([[0.0], np.cumsum(part)])
    means = (sums[16:] - sums[:-16]) / 16
    if len(means) == 0:
        return at
    return first + int(np.argmax(means >= min(means.max(), max(6 * floor, means.max() / 4))))
