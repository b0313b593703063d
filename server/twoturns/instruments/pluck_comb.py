"""
The comb: a belt span's modes, damped and slightly sharp, fitted to the samples by least squares.

    f_n = n f sqrt((1 + B n²) / (1 + B)),  each dying out as exp(-pi f n^0.7 t / Q),  n = 1 .. 6

f is the first mode as heard. The law of the modes is that of a stiff string (Fletcher, Rossing: The
Physics of Musical Instruments, section 2.18). Figures are chosen on the bench: synthetic belts and
real strings (tests/bench/bench_pluck.py), seeds 1,000 to 1,599. Twin of
client/src/instruments/pluck-comb.ts.

The columns are sums of powers of one complex number for each mode, so the normal equations are
geometric series: only their right side has to be summed over the samples.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from twoturns.instruments.pluck_front import RATE_HZ, Samples
from twoturns.instruments.pluck_lags import hz_at, parabola, peaks, similarity

Complex = npt.NDArray[np.complex128]

MODES = 6  #: chosen on the bench: how many are fitted
HIGHEST_MODE_HZ = 1_500.0  #: chosen: below the filter's edge
PERIODS = 14  #: chosen on the bench: of the first mode, what a window holds
LONGEST_S = 0.30  #: chosen on the bench: and no more than this
SKIP_SAMPLES = 16  #: chosen, 4 ms: the finger's click
DECAY_POWER = 0.7  #: chosen on the bench: higher modes die sooner, and not in proportion
MODE_PRICE = 0.004  #: chosen on the bench: what a mode has to explain, to be worth it
RIDGE = 1e-5  #: chosen: keeps two modes that meet from making the equations singular
GRID_Q = (6.0, 14.0, 35.0)  #: chosen on the bench: where fits begin
GRID_B = (0.0, 0.006, 0.014)  #: chosen on the bench: where fits begin
KEPT = 5  #: chosen on the bench: how many candidates are refined
APART = 0.025  #: chosen: candidates nearer than this share are one, their fits would meet
MERGE = 0.015  #: chosen: the same of peaks, before any fit
ROUNDS = 6  #: chosen: after five shrinks a step in f is a ten-thousandth
STEPS = (0.012, 0.4, 0.004)  #: chosen, of ln f, ln Q, B: about half the way to the next candidate
SMALLER = 0.4  #: chosen on the bench: how a step shrinks where it leads nowhere
Q_BETWEEN = (3.0, 200.0)  #: chosen: wide round GRID_Q
B_BETWEEN = (-0.001, 0.018)  #: chosen: round GRID_B, and just below 0, so that 0 is no edge
AS_GOOD = 0.97  #: chosen on the bench: so near the best, a higher comb is taken
FAMILY = 0.12  #: chosen: combs nearer than this share are readings of one pitch
SPECTRA_SAMPLES = (1_200, 480, 200)  #: chosen: 300, 120 and 50 ms, for long and short ringing
BETWEEN = 4  #: chosen: so many modes between those of a comb, the first below its first
OCTAVE = 0.5  #: by definition: where the modes of an octave below lie
#: Chosen: where no harmonic comb has modes. What is found there is a room, or a finger.
ELSEWHERE = (0.3, 0.4, 0.6, 0.7)
#: Detunings tried for the modes between those of a comb.
BETWEEN_TUNE = (0.98, 0.99, 1.0, 1.01, 1.02)  #: chosen on the bench
LEAST_OF_THE_PLUCK = 1 / 3  #: chosen: below it the noise's own spread is what is told
FFT_SIZE = 4_096  #: chosen: a bin of 1 Hz, and the parabola does the rest
LEAST_PEAK = 0.15  #: chosen on the bench, of the highest peak
BLOCK = 32  #: chosen: powers of a mode are made once for so many samples


@dataclass(frozen=True)
class Comb:
    """A fitted comb; `score` is the share of energy explained, less a price for each mode."""

    hz: float
    q: float
    b: float
    score: float


@dataclass
class Window:
    """The samples from the onset on, weighed: the first half fully, then a raised cosine to 0."""

    half: int
    weighed: Samples
    energy: float


@dataclass
class Fitter:
    """
    Fits combs to one pluck; `sound` begins at its onset, behind the whitener, which leaves
    `noise_power` of the noise.
    """

    sound: Samples
    noise_power: float
    windows: dict[int, Window] = field(default_factory=dict)

    def window(self, hz: float) -> Window:
        """Return the window for a first mode, Hz: as long as its ringing; one for each length."""
        seconds = min(PERIODS / hz, LONGEST_S)
        half = min(round_half_up(seconds * RATE_HZ / 2), (len(self.sound) - SKIP_SAMPLES) // 2)
        if half not in self.windows:
            part = self.sound[SKIP_SAMPLES : SKIP_SAMPLES + 2 * half]
            fade = 0.5 + 0.5 * np.cos(np.pi * np.arange(half) / half)
            weighed = part * np.concatenate([np.ones(half), fade])
            padded = np.zeros(-(-len(part) // BLOCK) * BLOCK)
            padded[: len(part)] = weighed
            self.windows[half] = Window(half, padded.reshape(-1, BLOCK), float(weighed @ part))
        return self.windows[half]

    def score(self, window: Window, hz: float, q: float, b: float) -> float:
        """Return what a comb explains of a window, 0 to 1, less its price for each mode."""
        logs = mode_logs(hz, q, b)
        return explained(window, logs) - MODE_PRICE * len(logs)

    def of_the_pluck(self, hz: float) -> float:
        """Return how much of a window's energy is not the noise's, a third at least."""
        window = self.window(hz)
        weight = 1.5 * window.half  # of its samples: the first half, and half of the second
        noise = weight * self.noise_power / window.energy if window.energy > 0 else 1.0
        return max(LEAST_OF_THE_PLUCK, 1 - noise)

    def between(self, comb: Comb, place: float = OCTAVE) -> float:
        """
        Return the share of energy that modes between a comb's own explain beyond it.

        A slack span whose first mode the microphone hardly hears looks like one an octave higher;
        what gives it away is its third and fifth mode, halfway between those of the answer.

        Args:
            comb: The answer.
            place: Where between two of its modes, as a share of the way.
        """
        window = self.window(comb.hz / 2)
        own = mode_logs(comb.hz, comb.q, comb.b)
        n = place + np.arange(BETWEEN)
        shares = []
        for tune in BETWEEN_TUNE:
            mode_hz = n * comb.hz * tune
            keep = mode_hz < HIGHEST_MODE_HZ
            for q in GRID_Q:
                decay = np.pi * comb.hz / 2 * (2 * n) ** DECAY_POWER / q
                more = (-decay[keep] + 2j * np.pi * mode_hz[keep]) / RATE_HZ
                shares.append(explained(window, np.concatenate([own, more])))
        return max(shares) - explained(window, own)

    def elsewhere(self, comb: Comb) -> float:
        """Return the same of places where no octave has modes: their mean."""
        return sum(self.between(comb, place) for place in ELSEWHERE) / len(ELSEWHERE)


def explained(window: Window, logs: Complex) -> float:
    """Return the share of the window's energy that the best mix of these modes explains."""
    if window.energy <= 0:
        return 0.0
    right = right_side(window, logs)
    return float(right @ np.linalg.solve(gram_of(window.half, logs), right)) / window.energy


def round_half_up(value: float) -> int:
    """Round to a whole number, halves upward, as the phone does."""
    return math.floor(value + 0.5)


def mode_logs(hz: float, q: float, b: float) -> Complex:
    """Return the logarithm of what each mode is multiplied with from sample to sample."""
    n = np.arange(1, MODES + 1)
    mode_hz = n * hz * np.sqrt((1 + b * n * n) / (1 + b))
    keep = mode_hz < HIGHEST_MODE_HZ
    decay = np.pi * hz * n**DECAY_POWER / q
    logs: Complex = (-decay[keep] + 2j * np.pi * mode_hz[keep]) / RATE_HZ
    return logs


def right_side(window: Window, logs: Complex) -> Samples:
    """Return the right side of the normal equations: cosines of each mode, then sines."""
    inner = np.exp(np.outer(np.arange(BLOCK), logs))
    outer = np.exp(np.outer(np.arange(len(window.weighed)) * BLOCK, logs))
    sums = ((window.weighed @ inner) * outer).sum(axis=0)
    return np.concatenate([sums.real, sums.imag])


def gram_of(half: int, logs: Complex) -> Samples:
    """Return the columns' products, cosines first, with a ridge on the diagonal."""
    plus = series(half, logs[:, None] + logs[None, :])
    minus = series(half, logs[:, None] + logs.conj()[None, :])
    cos_cos, sin_sin = (plus.real + minus.real) / 2, (minus.real - plus.real) / 2
    cos_sin = (plus.imag - minus.imag) / 2
    gram = np.block([[cos_cos, cos_sin], [cos_sin.T, sin_sin]])
    gram[np.diag_indices_from(gram)] *= 1 + RIDGE
    return gram


def series(half: int, log: Complex) -> Complex:
    """Return the sum of the window's weights times powers of exp(log)."""
    ratio, end = np.exp(log), np.exp(half * log)
    turn = np.exp(1j * np.pi / half)
    even = (1 - end) / (1 - ratio)
    faded = even / 2 + (1 + end) / 4 * (1 / (1 - ratio * turn) + 1 / (1 - ratio / turn))
    total: Complex = even + end * faded
    return total


def candidates(sound: Samples, low_hz: float, high_hz: float) -> list[float]:
    """Return first modes worth a fit: peaks of spectra with halves and thirds, and periods."""
    found: list[float] = []
    for hz in [*spectrum_peaks(sound), *period_peaks(sound)]:
        near = any(abs(hz / other - 1) < MERGE for other in found)
        if low_hz <= hz <= high_hz and not near:
            found.append(hz)
    return found


def spectrum_peaks(sound: Samples) -> list[float]:
    """Return peaks of three spectra, Hz, each with its half and its third."""
    found = []
    for length in SPECTRA_SAMPLES:
        part = sound[: min(length, len(sound))]
        fade = 0.5 + 0.5 * np.cos(np.pi * np.arange(len(part)) / len(part))
        size = np.abs(np.fft.rfft(part * fade, FFT_SIZE))
        last = int(HIGHEST_MODE_HZ * FFT_SIZE / RATE_HZ)
        tops = [at for at in range(20, last) if size[at - 1] < size[at] >= size[at + 1]]
        tops.sort(key=lambda at: -size[at])
        for at in tops[:KEPT]:
            if size[at] < LEAST_PEAK * size[tops[0]]:
                break
            exact = at + parabola(size[at - 1], size[at], size[at + 1])
            hz = exact * RATE_HZ / FFT_SIZE
            found += [hz, hz / 2, hz / 3]
    return found


def period_peaks(sound: Samples) -> list[float]:
    """Return the notes of the best periods, Hz, best first."""
    values = similarity(sound[: SPECTRA_SAMPLES[0]])
    tops = sorted(peaks(values), key=lambda lag: -values[lag])
    return [hz_at(values, lag) for lag in tops[:KEPT]]


class Search:
    """The combs of one pluck: looked for in the open, and near the target; fits are shared."""

    def __init__(self, sound: Samples, noise_power: float) -> None:
        self.fitter = Fitter(sound, noise_power)
        self.refined: dict[float, Comb] = {}
        self.coarse: dict[float, Comb] = {}

    def within(self, low_hz: float, high_hz: float, found: list[float]) -> list[Comb]:
        """Return the best combs whose first mode lies between two frequencies, best first."""
        coarse = [self._coarse(hz) for hz in found if low_hz <= hz <= high_hz]
        coarse.sort(key=lambda comb: -comb.score)
        kept: list[Comb] = []
        for comb in coarse:
            if len(kept) < KEPT and all(abs(comb.hz / other.hz - 1) > APART for other in kept):
                kept.append(comb)
        combs = [self._refined(comb) for comb in kept]
        return sorted(
            (comb for comb in combs if low_hz <= comb.hz <= high_hz), key=lambda comb: -comb.score
        )

    def _coarse(self, hz: float) -> Comb:
        if hz not in self.coarse:
            window = self.fitter.window(hz)
            tried = [(hz, q, b) for q in GRID_Q for b in GRID_B]
            combs = [Comb(*each, self.fitter.score(window, *each)) for each in tried]
            self.coarse[hz] = max(combs, key=lambda comb: comb.score)
        return self.coarse[hz]

    def _refined(self, comb: Comb) -> Comb:
        if comb.hz not in self.refined:
            self.refined[comb.hz] = refine(self.fitter, comb)
        return self.refined[comb.hz]


def refine(fitter: Fitter, comb: Comb) -> Comb:
    """Climb by steps in ln f, ln Q and B, each with a try at its parabola's top."""
    window = fitter.window(comb.hz)
    at = [math.log(comb.hz), math.log(comb.q), comb.b]
    limits = [
        (at[0] - 0.1, at[0] + 0.1),
        (math.log(Q_BETWEEN[0]), math.log(Q_BETWEEN[1])),
        B_BETWEEN,
    ]
    best, steps = comb.score, list(STEPS)

    def score(point: list[float]) -> float:
        return fitter.score(window, math.exp(point[0]), math.exp(point[1]), point[2])

    for _ in range(ROUNDS):
        has_moved = False
        for axis in range(3):
            came_from, before = at[axis], best
            ends = []
            for sign in (-1, 1):
                point = [*at]
                point[axis] = min(
                    max(came_from + sign * steps[axis], limits[axis][0]), limits[axis][1]
                )
                ends.append((score(point), point[axis]))
            shift = parabola(ends[0][0], before, ends[1][0])
            point = [*at]
            point[axis] = min(
                max(came_from + shift * steps[axis], limits[axis][0]), limits[axis][1]
            )
            ends.append((score(point), point[axis]))
            top, where = max(ends, key=lambda end: end[0])
            if top > best + 1e-9:
                best, at[axis], has_moved = top, where, True
        if not has_moved:
            steps = [step * SMALLER for step in steps]
    return Comb(math.exp(at[0]), math.exp(at[1]), at[2], best)


def answer(combs: list[Comb]) -> Comb | None:
    """
    Return the highest comb that explains almost as much as the best: a lower one always can.

    "Highest" chooses between octaves and the like, so of those near it the best one is taken.
    """
    if not combs or combs[0].score <= 0:
        return None
    enough = AS_GOOD * combs[0].score
    top = max(comb.hz for comb in combs if comb.score >= enough)
    return next(comb for comb in combs if abs(comb.hz / top - 1) < FAMILY)
