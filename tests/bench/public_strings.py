"""
Recorded plucked strings, as a stand-in for belts; none of it is in this repository.

Looked for in a folder: `guitarsounds/` (the source of guitarsounds 1.2.0, PyPI, MIT: twelve open
guitar strings before a microphone) and `fluid-soundfont-gm/` (the unpacked Debian package, MIT:
basses, guitars, pizzicato, banjo, sitar). A string is taken when its measured pitch is within
1.5 % of its label; the truth is the measured pitch.
"""

from __future__ import annotations

import re
import struct
from collections.abc import Iterator
from itertools import pairwise
from math import gcd
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt
from scipy import signal
from scipy.io import wavfile

Sound = npt.NDArray[np.float64]
RATE_HZ = 48_000
OPEN_STRINGS_HZ = {
    "E6": 82.41, "A5": 110.0, "D4": 146.83, "G3": 196.0, "B2": 246.94, "E1": 329.63,
}  # fmt: skip
PLUCKED = re.compile(
    r"^(Jazz Guitar|Steel|Nylon|Pizzicato|Harp\b|Harp/|Finger|Acoustic Bass|Pick|Fretless|Clean"
    r"|Banjo|Koto|Shamisen|Sitar|Strat|Palm|Bass)",
    re.IGNORECASE,
)
OTHERWISE = re.compile(r"drum|synth|bassoon|lead|\(R\)|harm|brass", re.IGNORECASE)
SAMPLE, ROOT_KEY, FINE_TUNE = 53, 58, 52  # generators of a SoundFont zone


class String(NamedTuple):
    name: str
    hz: float
    sound: Sound


def strings(folder: Path) -> list[String]:
    """Return the strings whose label holds, at 48 kHz, cut at their attack."""
    found = []
    for name, label_hz, sound in [*_guitars(folder), *_sound_font(folder)]:
        cut = _cut(sound)
        measured = _pitch(cut, label_hz)
        if measured is not None and abs(measured / label_hz - 1) < 0.015:
            found.append(String(name, measured, cut))
    return found


def _guitars(folder: Path) -> Iterator[tuple[str, float, Sound]]:
    for file in sorted(folder.glob("guitarsounds/*/example_sounds/*/*.wav")):
        rate_hz, samples = wavfile.read(file)
        whole = float(np.iinfo(samples.dtype).max) if samples.dtype.kind == "i" else 1.0
        one = samples if samples.ndim == 1 else samples[:, 0]
        yield file.stem, OPEN_STRINGS_HZ[file.stem.split("_")[1]], _at_48k(one / whole, rate_hz)


def _sound_font(folder: Path) -> Iterator[tuple[str, float, Sound]]:
    file = folder / "fluid-soundfont-gm/usr/share/sounds/sf2/FluidR3_GM.sf2"
    seen = set()
    for instrument, sample, rate_hz, hz, sound in _zones(file) if file.exists() else ():
        is_plucked = PLUCKED.search(instrument) and not OTHERWISE.search(instrument + sample)
        is_long = len(sound) / rate_hz >= 0.5
        if is_plucked and is_long and 29 < hz < 410 and sample not in seen:
            seen.add(sample)
            yield f"{instrument}: {sample}", hz, _at_48k(sound / 32_768, rate_hz)


def _zones(file: Path) -> Iterator[tuple[str, str, int, float, Sound]]:
    """Read the zones of a SoundFont 2 that play a sample: names, rate, pitch, sound."""
    content = file.read_bytes()
    parts = _parts(content)
    at, size = parts[b"smpl"]
    sounds = np.frombuffer(content, "<i2", size // 2, at)

    def records(tag: bytes, form: str) -> list[tuple[Any, ...]]:
        begin, length = parts[tag]
        step = struct.calcsize(form)
        return [
            struct.unpack_from(form, content, begin + offset)
            for offset in range(0, length - step + 1, step)
        ]

    samples = records(b"shdr", "<20sIIIIIBbHH")
    instruments, bags = records(b"inst", "<20sH"), records(b"ibag", "<HH")
    generators = records(b"igen", "<HH")
    for (name, first), (_, beyond) in pairwise(instruments):
        common: dict[int, int] = {}
        for bag in range(first, beyond):
            zone = dict(generators[bags[bag][0] : bags[bag + 1][0]])
            if SAMPLE not in zone:
                common = zone
                continue
            zone = {**common, **zone}
            sample = samples[zone[SAMPLE]]
            root = zone.get(ROOT_KEY, sample[6])
            fine = zone.get(FINE_TUNE, 0)
            cents = (fine - 65_536 if fine > 32_767 else fine) + sample[7]
            hz = 440 * 2 ** (((sample[6] if root > 127 else root) - 69) / 12 - cents / 1200)
            sound = sounds[sample[1] : sample[2]].astype(float)
            yield _text(name), _text(sample[0]), sample[5], hz, sound


def _parts(content: bytes) -> dict[bytes, tuple[int, int]]:
    """Return where each chunk inside a RIFF file's lists lies: its beginning and length."""
    found = {}
    for tag, at, size in _chunks(content, 12, len(content)):
        if tag == b"LIST":
            for inner, begin, length in _chunks(content, at + 4, at + size):
                found[inner] = (begin, length)
    return found


def _chunks(content: bytes, at: int, end: int) -> Iterator[tuple[bytes, int, int]]:
    while at + 8 <= end:
        (size,) = struct.unpack_from("<I", content, at + 4)
        yield content[at : at + 4], at + 8, size
        at += 8 + size + (size & 1)


def _text(name: bytes) -> str:
    return name.split(b"\0")[0].decode("latin1").strip()


def _at_48k(sound: Sound, rate_hz: int) -> Sound:
    common = gcd(RATE_HZ, rate_hz)
    up, down = RATE_HZ // common, rate_hz // common
    if up > 2_000:
        count = int(len(sound) * RATE_HZ / rate_hz)
        return np.interp(np.arange(count) * rate_hz / RATE_HZ, np.arange(len(sound)), sound)
    return signal.resample_poly(sound, up, down) if up != down else sound


def _cut(sound: Sound) -> Sound:
    size = np.convolve(np.abs(sound), np.ones(96) / 96, "same")
    return sound[max(0, int(np.argmax(size > 0.1 * size.max())) - int(0.004 * RATE_HZ)) :]


def _pitch(sound: Sound, label_hz: float) -> float | None:
    """Return the pitch by a comb over a spectrum of one second, within 6 % of the label."""
    part = sound[int(0.05 * RATE_HZ) : int(1.05 * RATE_HZ)]
    if len(part) < 0.2 * RATE_HZ:
        return None
    size = np.abs(np.fft.rfft(part * np.hanning(len(part)), 1 << 19))
    bin_hz = RATE_HZ / (1 << 19)

    def score(hz: float) -> float:
        total = 0.0
        for k in range(1, 6):
            if hz * k >= 3_000:
                break
            low, high = (int(label_hz * share * k / bin_hz) for share in (0.94, 1.06))
            total += min(size[round(hz * k / bin_hz)], size[low : high + 2].max()) / k**0.5
        return total

    return max(label_hz * np.exp(np.linspace(-0.06, 0.06, 481)), key=score)
