"""
The pitch of a plucked belt span, as the phone hears it, and computed anew from what it kept.

`estimate` takes one clip; it answers with a frequency or with the reason why there is none.
`recompute` takes the sheet and the clips of a reading and says whether they bear it out. Pure.
Twin of client/src/instruments/pluck.ts. The bench, and its results: tests/bench/bench_pluck.py.

A clip is 2 s at 48 kHz, the pluck somewhere in it with quiet before it. Two searches must agree:
one in the open (25 to 450 Hz) and one near the target. The one near the target alone would take
the octave of a belt at a quarter of its tension for the target; then the clip is rejected as `far`.
"""

from __future__ import annotations

import re
import struct
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from twoturns.instruments import pluck_comb, pluck_front, pluck_lags
from twoturns.instruments.pluck_comb import Comb
from twoturns.instruments.pluck_front import CLIP_HZ, Samples
from twoturns.instruments.refusal import Refusal, rounded
from twoturns.ledger.forms import SHA256, is_formed
from twoturns.words import t
from twoturns.words.en.instruments import pluck as words

#: Of the estimator. The second takes all that the first took, with the same figures, and more.
EDITION = 2
READ = (1, EDITION)
OPEN = (pluck_lags.LOW_HZ, pluck_lags.HIGH_HZ)
LEAST_STRENGTH = 8.0  #: chosen on the bench: pure noise stays below 6
LEAST_SCORE = 0.45  #: chosen on the bench: a comb that explains less does not count
WITNESS_SHARE = 0.08  #: chosen on the bench: stiffness biases the witnesses
SAME_SHARE = 0.03  #: chosen: what two searches that found one comb may differ by
LOWER_RIVAL = 0.7  #: chosen: a comb below that share of the answer may be its lower octave
#: Chosen on the bench's slack belts: a lower comb that explains so much of what the answer does,
#: and what lies between its modes: each alone, or less of both, says that the answer may be an
#: octave of the truth.
HINTS_OF_AN_OCTAVE = ((1.004, -1.0), (0.0, 0.04), (0.98, 0.02))
#: Of a pluck that counts although one of the rules before objects, chosen on the bench's training
#: seeds: its comb may explain less where all three witnesses are nearer to it, and what lies an
#: octave between its modes is hardly more than what lies elsewhere between them.
PLAIN_SCORE = 0.6  #: chosen, of what is not the noise's
PLAIN_WITNESS_SHARE = 0.05  #: chosen, as above
PLAIN_BETWEEN = 1.1  #: chosen, as above
WINDOW_SAMPLES = 1_200  #: chosen, 0.3 s: as long as the longest comb's window
WITNESS_SKIP = 24  #: chosen, 6 ms at 4 kHz: the finger's click
CLIPPED_AT = 32_766 / 32_768  #: by definition: the last step but one of 16 bits
CLIPPED_SHARE = 0.01  #: chosen: so many are told, the reading counts all the same

PLUCKS = 3  #: chosen: the least number that has a middle one
MOST_SPREAD_PERCENT = 4  #: chosen: 8 % of the tension
SAME_SHARE_ANEW = 0.005  #: chosen: 1 % of the tension; two languages' sums differ by far less
CLIP_SECONDS = (0.5, 10)  #: chosen: see LEAST_SAMPLES; and what nobody waits for
NEAR = (0.62, 1.6)  #: chosen, of the nominal: no octave of what is looked for lies within

Lags = tuple[float, float, float]
Range = tuple[float, float]


@dataclass(frozen=True)
class Pluck:
    """One pluck: what was heard, and `reject` where it does not count."""

    reject: str | None
    strength: float = 0.0
    comb: Comb | None = None
    blind: Comb | None = None
    lags: Lags = (0.0, 0.0, 0.0)
    onset_s: float = 0.0
    is_clipped: bool = False


def near_range(low: float, high: float, nominal: float) -> Range:
    """Return where a span is looked for whose reading should lie in a window, Hz."""
    return min(low, NEAR[0] * nominal), max(high, NEAR[1] * nominal)


def estimate(samples: Samples, near: Range | None) -> Pluck:
    """
    Return the first mode of the span plucked in a clip, or why it cannot be told.

    Args:
        samples: 48 kHz, full scale 1.
        near: Where the bundle expects the span; None to search in the open only.
    """
    slow = pluck_front.decimate(samples)
    if len(slow) < pluck_front.LEAST_SAMPLES:
        return Pluck("too-short")
    onset = pluck_front.find_onset(slow)
    onset_s = onset.at / pluck_front.RATE_HZ
    if onset.strength < LEAST_STRENGTH:
        return Pluck("no-pluck", onset.strength, onset_s=onset_s)
    raw = slow[onset.at : onset.at + WITNESS_SKIP + WINDOW_SAMPLES]
    if len(raw) < WITNESS_SKIP + WINDOW_SAMPLES:
        return Pluck("too-short", onset.strength, onset_s=onset_s)
    struck = raw[:WINDOW_SAMPLES]
    noise = pluck_front.noise_of(slow)
    taps = pluck_front.whitener(noise, 0.001 * float(struck @ struck) / len(struck))
    sound = pluck_front.filtered(slow, taps)[onset.at :]
    search = pluck_comb.Search(sound, pluck_front.power_left(noise, taps))
    return _judged(search, raw[WITNESS_SKIP:], onset, near or OPEN, is_clipped(samples, onset_s))


def is_clipped(samples: Samples, onset_s: float) -> bool:
    """Say whether more than one in a hundred samples of the first 50 ms are at full scale."""
    first = round(onset_s * CLIP_HZ)
    part = samples[first : first + CLIP_HZ // 20]
    return bool(np.mean(np.abs(part) >= CLIPPED_AT) > CLIPPED_SHARE)


def _judged(
    search: pluck_comb.Search,
    raw: Samples,
    onset: pluck_front.Onset,
    near: Range,
    clipped: bool,
) -> Pluck:
    found = pluck_comb.candidates(search.fitter.sound, *OPEN)
    combs = search.within(*OPEN, found)
    blind, ranged = pluck_comb.answer(combs), pluck_comb.answer(search.within(*near, found))
    lags = pluck_lags.witnesses(raw)
    objection = _objection(search, combs, blind, ranged, lags)
    is_told = objection and blind and ranged and _is_plain(search.fitter, blind, ranged, lags)
    reject, onset_s = None if is_told else objection, onset.at / pluck_front.RATE_HZ
    return Pluck(reject, onset.strength, ranged, blind, lags, onset_s, clipped)


def _objection(
    search: pluck_comb.Search,
    combs: list[Comb],
    blind: Comb | None,
    ranged: Comb | None,
    lags: Lags,
) -> str | None:
    """Return what the first edition's rules say against a pluck."""
    if blind is None or blind.score < LEAST_SCORE:
        return "too-noisy"
    if agreeing(lags, blind.hz) < 2:
        return "unclear"
    if ranged is None or not _is_same(blind, ranged):
        return "far"
    if ranged.score < LEAST_SCORE:
        return "too-noisy"
    if agreeing(lags, ranged.hz) < 2:
        return "unclear"
    lower = max((comb.score for comb in combs if comb.hz < LOWER_RIVAL * ranged.hz), default=0.0)
    between = search.fitter.between(ranged)
    for rival_score, most_between in HINTS_OF_AN_OCTAVE:
        if lower >= rival_score * ranged.score and between > most_between:
            return "far"
    return None


def _is_plain(fitter: pluck_comb.Fitter, blind: Comb, ranged: Comb, lags: Lags) -> bool:
    """
    Say whether a pluck can be told all the same.

    Noise takes of what a comb explains, and a room leaves something between its modes at every
    place: neither speaks against a note that all three witnesses read.
    """
    explains_most = _is_same(blind, ranged) or ranged.score >= blind.score
    return (
        explains_most
        and ranged.score >= PLAIN_SCORE * fitter.of_the_pluck(ranged.hz)
        and agreeing(lags, ranged.hz, PLAIN_WITNESS_SHARE) == len(lags)
        and fitter.between(ranged) <= PLAIN_BETWEEN * fitter.elsewhere(ranged)
    )


def _is_same(blind: Comb, ranged: Comb) -> bool:
    return abs(blind.hz / ranged.hz - 1) <= SAME_SHARE


def agreeing(lags: Lags, hz: float, share: float = WITNESS_SHARE) -> int:
    """Return how many of the three witnesses read that note, Hz, within a share."""
    return sum(abs(lag / hz - 1) <= share for lag in lags)


@dataclass(frozen=True)
class Reading:
    """What three clips say: the median in Hz, one decimal, and each pluck in Hz."""

    value: str
    verdict: str  # in-range, low, high
    plucks_hz: tuple[float, ...]
    is_processed: bool  # the browser worked on the sound: the reading is less sure


def recompute(sheet: Mapping[str, Any], clips: Mapping[str, bytes]) -> Reading | Refusal:
    """
    Compute a reading anew from its sheet (formats.md, section 10) and the clips it names.

    The sheet's own figures are not looked at: `same` compares them. Its window (`low`, `high`,
    `nominal`) must be the bundle's, which is for the caller to check.

    Args:
        sheet: As parsed; it may be anything that somebody sent.
        clips: The clips' files by their SHA-256; the caller vouches that each is the hash's.
    """
    window = _window(sheet)
    if window is None:
        return Refusal("bad-sheet", t(words.BAD_SHEET), _TAKE_ANEW)
    if sheet["edition"] not in READ:
        message = t(words.OTHER_EDITION, edition=sheet["edition"], known=EDITION)
        return Refusal("other-edition", message, t(words.OTHER_EDITION_HINT))
    names = [row["clip"] for row in sheet["plucks"]]
    if len(set(names)) != PLUCKS:
        message = t(words.WRONG_CLIP_COUNT, set=len(set(names)), plucks=PLUCKS)
        return Refusal("clip-repeated", message, _TAKE_ANEW)
    plucks_hz = []
    for name in names:
        heard = _heard(clips.get(name), near_range(*window))
        if isinstance(heard, Refusal):
            return heard
        plucks_hz.append(heard)
    return _reading(plucks_hz, window, is_processed=any(sheet["processing"].values()))


_TAKE_ANEW = t(words.TAKE_ANEW)
_DECIMAL = re.compile(r"(0|[1-9][0-9]{0,5})(\.[0-9]{1,9})?")


def same(told: Mapping[str, Any], found: Reading) -> bool:
    """Tell whether each pluck of a sheet that was computed anew is within 0.5 % of what it says."""
    pairs = zip(told["plucks"], found.plucks_hz, strict=True)
    return all(
        bool(_DECIMAL.fullmatch(str(row.get("hz")))) and _near(float(row["hz"]), hz)
        for row, hz in pairs
    )


def same_value(value: str, found: Reading) -> bool:
    """Tell whether a reading's value is the one computed anew, to 0.5 % and its last digit."""
    if not _DECIMAL.fullmatch(value):
        return False
    anew = float(found.value)
    return abs(float(value) - anew) <= SAME_SHARE_ANEW * anew + 0.05


def _near(hz: float, anew: float) -> bool:
    return abs(hz / anew - 1) <= SAME_SHARE_ANEW


def _window(sheet: Mapping[str, Any]) -> tuple[float, float, float] | None:
    """Return low, high and nominal of a sheet that has its form."""
    limits = [sheet.get(name) for name in ("low", "high", "nominal")]
    rows, processing = sheet.get("plucks"), sheet.get("processing")
    has_form = (
        sheet.get("v") == 1
        and sheet.get("by") == "pluck"
        and isinstance(sheet.get("edition"), int)
        and all(isinstance(limit, str) and _DECIMAL.fullmatch(limit) for limit in limits)
        and isinstance(processing, dict)
        and set(processing) == {"echo", "noise", "gain"}
        and all(isinstance(value, bool) for value in processing.values())
        and isinstance(rows, list)
        and len(rows) == PLUCKS
        and all(isinstance(row, dict) and is_formed(row.get("clip"), SHA256) for row in rows)
    )
    if not has_form:
        return None
    low, high, nominal = (float(str(limit)) for limit in limits)
    return (low, high, nominal) if 0 < low <= nominal <= high else None


def _heard(clip: bytes | None, near: Range) -> float | Refusal:
    """Return what a clip says, Hz."""
    if clip is None:
        hint = t(words.CLIP_MISSING_HINT)
        return Refusal("clip-missing", t(words.CLIP_MISSING), hint)
    samples = read_clip(clip)
    if samples is None:
        message = t(words.CLIP_NOT_WAV)
        return Refusal("bad-clip", message, _TAKE_ANEW)
    pluck = estimate(samples, near)
    if pluck.reject or pluck.comb is None:
        message = t(words.CLIP_GIVES_NO_VALUE, reject=str(pluck.reject))
        return Refusal("clip-rejected", message, _TAKE_ANEW)
    return pluck.comb.hz


def _reading(
    plucks_hz: list[float], window: tuple[float, float, float], *, is_processed: bool
) -> Reading | Refusal:
    least, median, most = sorted(rounded(hz * 1000) for hz in plucks_hz)
    if (most - least) * 100 > MOST_SPREAD_PERCENT * median:
        message = t(words.CLIPS_APART, most_spread_percent=MOST_SPREAD_PERCENT)
        return Refusal("differ", message, _TAKE_ANEW)
    tenths = (median + 50) // 100
    hz = tenths / 10
    verdict = "low" if hz < window[0] else "high" if hz > window[1] else "in-range"
    return Reading(f"{tenths // 10}.{tenths % 10}", verdict, tuple(plucks_hz), is_processed)


def read_clip(clip: bytes) -> Samples | None:
    """Return a clip's samples, full scale 1; None unless it has the one form that is written."""
    size = len(clip) - 44
    if size % 2 or not CLIP_SECONDS[0] <= size / (2 * CLIP_HZ) <= CLIP_SECONDS[1]:
        return None
    if clip[:44] != clip_header(size):
        return None
    return np.frombuffer(clip[44:], "<i2").astype(np.float64) / 32_768


def clip_header(size: int) -> bytes:
    """Return the header of a WAV file of so many bytes of sound: 48 kHz, one channel, 16 bit."""
    form = (16, 1, 1, CLIP_HZ, 2 * CLIP_HZ, 2, 16)
    head = (b"RIFF", size + 36, b"WAVE", b"fmt ", *form, b"data", size)
    return struct.pack("<4sI4s4sIHHIIHH4sI", *head)
