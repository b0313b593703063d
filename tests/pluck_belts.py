"""
Plucked belt spans that never were: one whole number gives one belt, one pluck, one clip.

The truth is the first mode as a microphone hears it. The laws are assumptions (no belt was
recorded): modes of a stiff string, damped; a pluck point and a listening point; a finger's click;
a room's tail; a second span; pink noise, mains hum, an engine at idle; a phone's high-pass; 16 bit.
`near` is a belt as the screen asks for it (phone close, engine off), `hard` one that is not.

The order in which random numbers are drawn is part of the seed's meaning.
"""

from __future__ import annotations

import io
import wave
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
from scipy import signal

Sound = npt.NDArray[np.float64]

RATE_HZ = 48_000
SECONDS = 2.0
SEED_SOUND, SEED_NEAR, SEED_REAL = 10**9, 5 * 10**8, 7 * 10**8


@dataclass(frozen=True)
class Belt:
    seed: int
    f1_hz: float
    q1: float
    stiffness: float  #: B of f_n = n f1 sqrt((1 + B n²) / (1 + B))
    q_slope: float  #: tau_n = tau_1 / n^q_slope
    pluck: float  #: share of the span
    pickup: float
    radiation: float
    modes: int
    finger_s: float
    glide: float  #: share by which the tension raises the pitch at the onset
    high_pass_hz: float
    high_pass_order: int
    fundamental: float  #: extra factor on the first mode
    drive: float  #: over full scale; 0: not clipped
    rt60_s: float
    direct_db: float  #: direct to reverberant
    second: float  #: a second span, share of the peak
    second_ratio: float
    click: float
    onset_s: float
    snr_db: float  #: first 300 ms against the noise, 25 to 2,000 Hz
    is_idling: bool
    firing_hz: float
    hum: float
    hum_hz: float


def hard(seed: int) -> Belt:
    draw = np.random.default_rng(seed)
    uniform, choice = draw.uniform, draw.choice
    return Belt(
        seed=seed,
        f1_hz=float(np.exp(uniform(np.log(30), np.log(400)))),
        q1=float(np.exp(uniform(np.log(5), np.log(30)))),
        stiffness=float(10 ** uniform(-4, -1.8)),
        q_slope=float(uniform(0.4, 1.0)),
        pluck=float(uniform(0.15, 0.5)),
        pickup=float(uniform(0.15, 0.5)),
        radiation=float(uniform(0.0, 1.0)),
        modes=int(draw.integers(4, 9)),
        finger_s=float(uniform(0.0005, 0.004)),
        glide=float(uniform(0, 0.004)),
        high_pass_hz=float(uniform(60, 120)),
        high_pass_order=int(draw.integers(1, 3)),
        fundamental=float(choice([1.0, 1.0, 0.3, 0.1])),
        drive=float(choice([0, 0, 0, 2.0])),
        rt60_s=float(uniform(0.1, 0.7)),
        direct_db=float(uniform(3, 15)),
        second=float(choice([0, 0, 0.15, 0.3])),
        second_ratio=float(choice([uniform(0.55, 0.85), uniform(1.2, 1.9)])),
        click=float(uniform(0, 0.5)),
        onset_s=float(uniform(0.35, 0.6)),
        snr_db=float(choice([30, 20, 10, 0])),
        is_idling=bool(draw.random() < 0.25),
        firing_hz=float(uniform(25.0, 30.0)),
        hum=float(choice([0, 0.15])),
        hum_hz=float(choice([50.0, 60.0])),
    )


def near(seed: int, **instead: object) -> Belt:
    """A belt as the screen asks for it: phone within 10 cm, engine off, the span beside it held."""
    draw = np.random.default_rng(seed + SEED_NEAR)
    asked = {
        "direct_db": float(draw.uniform(12, 20)),
        "second": float(draw.choice([0, 0, 0, 0.15])),
        "fundamental": float(draw.choice([1.0, 1.0, 1.0, 0.3])),
        "drive": float(draw.choice([0] * 9 + [2.0])),
        "click": float(draw.uniform(0, 0.3)),
        "is_idling": False,
    }
    return replace(hard(seed), **{**asked, **instead})


def plucked_again(belt: Belt, number: int) -> Belt:
    """The same belt and microphone; new pluck point, room, click and noise."""
    seed = belt.seed * 1000 + number
    draw = np.random.default_rng(seed)
    return replace(
        belt,
        seed=seed,
        pluck=float(np.clip(belt.pluck + draw.normal(0, 0.05), 0.12, 0.5)),
        pickup=float(np.clip(belt.pickup + draw.normal(0, 0.05), 0.12, 0.5)),
        click=float(draw.uniform(0, 0.3)),
        direct_db=float(np.clip(belt.direct_db + draw.normal(0, 2), 3, 25)),
        glide=float(draw.uniform(0, 0.004)),
        onset_s=float(draw.uniform(0.35, 0.6)),
    )


def modes_of(belt: Belt) -> tuple[Sound, Sound, Sound]:
    """Frequency, time constant and amplitude of each mode."""
    n = np.arange(1, belt.modes + 1)
    stretch = np.sqrt((1 + belt.stiffness * n**2) / (1 + belt.stiffness))
    mode_hz = belt.f1_hz * n * stretch
    tau_s = (belt.q1 / (np.pi * belt.f1_hz)) / n**belt.q_slope
    shape = np.sin(np.pi * n * belt.pluck) * np.sin(np.pi * n * belt.pickup)
    size = shape / n**2 * n**belt.radiation
    size = size / np.sqrt(1 + (2 * np.pi * mode_hz * belt.finger_s) ** 2)
    size[0] *= belt.fundamental
    return mode_hz, tau_s, size


def ringing(belt: Belt, t: Sound, phases: Sound) -> Sound:
    total = np.zeros_like(t)
    for mode_hz, tau, size, phase in zip(*modes_of(belt), phases, strict=True):
        if mode_hz > 0.45 * RATE_HZ:
            continue
        bent = t + belt.glide * (tau / 2) * (1 - np.exp(-2 * t / tau))
        total += size * np.exp(-t / tau) * np.cos(2 * np.pi * mode_hz * bent + phase)
    return total


def pink(count: int, draw: np.random.Generator) -> Sound:
    spectrum = draw.standard_normal(count // 2 + 1) + 1j * draw.standard_normal(count // 2 + 1)
    hz = np.fft.rfftfreq(count, 1 / RATE_HZ)
    hz[0] = hz[1]
    noise = np.fft.irfft(spectrum / np.sqrt(hz), count)
    return noise / np.std(noise)


def engine(count: int, firing_hz: float, draw: np.random.Generator) -> Sound:
    t = np.arange(count) / RATE_HZ
    wander = signal.lfilter([0.0005], [1, -0.9995], draw.standard_normal(count))
    jitter = np.cumsum(wander) / RATE_HZ
    total = np.zeros(count)
    for order in np.arange(0.5, 12.1, 0.5):
        size = (1.0 if order == int(order) else 0.35) / order**0.7
        angle = 2 * np.pi * firing_hz * order * (t + 0.002 * jitter)
        total += size * np.cos(angle + draw.uniform(0, 6.28))
    return total / np.std(total)


def room(sound: Sound, rt60_s: float, direct_db: float, draw: np.random.Generator) -> Sound:
    """Add a tail of decaying noise, 2 ms behind the direct sound."""
    count = int(rt60_s * RATE_HZ)
    tail = draw.standard_normal(count) * np.exp(-6.9 * np.arange(count) / count)
    tail[: int(0.002 * RATE_HZ)] = 0
    tail *= 10 ** (-direct_db / 20) / np.sqrt(np.sum(tail**2))
    tail[0] = 1.0
    return signal.fftconvolve(sound, tail)[: len(sound)]


def through_phone(
    sound: Sound, noise: Sound, onset: int, snr_db: float, high_pass: tuple[int, float]
) -> tuple[Sound, Sound]:
    """Both through the microphone's high-pass, the noise at its share of the pluck's power."""
    order, hz = high_pass
    microphone = signal.butter(order, hz, "hp", fs=RATE_HZ, output="sos")
    sound, noise = signal.sosfilt(microphone, sound), signal.sosfilt(microphone, noise)
    band = signal.butter(2, [25, 2000], "bp", fs=RATE_HZ, output="sos")
    struck = signal.sosfilt(band, sound)[onset : onset + int(0.3 * RATE_HZ)]
    ratio = np.std(struck) / np.std(signal.sosfilt(band, noise))
    return sound, noise * ratio / 10 ** (snr_db / 20)


def clip_of(belt: Belt) -> Sound:
    """Return the 2 s of sound, full scale 1, rounded to 16 bit."""
    draw = np.random.default_rng(belt.seed + SEED_SOUND)
    count, onset = int(SECONDS * RATE_HZ), int(belt.onset_s * RATE_HZ)
    struck = _struck(belt, np.arange(count - onset) / RATE_HZ, draw)
    sound = np.concatenate([np.zeros(onset), struck])
    sound = room(sound, belt.rt60_s, belt.direct_db, draw)
    noise = pink(count, draw)
    if belt.is_idling:
        noise = noise + 1.5 * engine(count, belt.firing_hz, draw)
    if belt.hum:
        noise = noise + belt.hum * _hum(count, belt.hum_hz, draw)
    microphone = (belt.high_pass_order, belt.high_pass_hz)
    sound, noise = through_phone(sound, noise, onset, belt.snr_db, microphone)
    return full_scale(sound + noise, belt.drive or 0.7)


def _struck(belt: Belt, t: Sound, draw: np.random.Generator) -> Sound:
    attack = 1 - np.exp(-t / 0.0015)
    total = ringing(belt, t, draw.uniform(0, 2 * np.pi, belt.modes)) * attack
    if belt.second:
        other = replace(belt, f1_hz=belt.f1_hz * belt.second_ratio, fundamental=1.0, glide=0.0)
        beside = ringing(other, t, draw.uniform(0, 2 * np.pi, belt.modes)) * attack
        total += belt.second * np.max(np.abs(total)) / (np.max(np.abs(beside)) + 1e-12) * beside
    if belt.click:
        click = draw.standard_normal(len(t)) * np.exp(-t / 0.004)
        total += belt.click * np.max(np.abs(total)) / np.max(np.abs(click)) * click
    return total


def _hum(count: int, hz: float, draw: np.random.Generator) -> Sound:
    t = np.arange(count) / RATE_HZ
    return sum(np.cos(2 * np.pi * hz * k * t + draw.uniform(0, 6.28)) / k * 2 for k in (1, 2, 3))


def full_scale(sound: Sound, size: float) -> Sound:
    scaled = np.clip(sound / np.max(np.abs(sound)) * size, -1, 1)
    return np.round(scaled * 32_767) / 32_768


def without_pluck(seed: int) -> Sound:
    """Noise; every second one with a blow of 3 to 30 ms in it."""
    draw = np.random.default_rng(seed)
    sound = pink(int(SECONDS * RATE_HZ), draw)
    if seed % 2:
        t = np.arange(len(sound) - int(0.5 * RATE_HZ)) / RATE_HZ
        blow = draw.standard_normal(len(t)) * np.exp(-t / draw.uniform(0.003, 0.03))
        sound[-len(t) :] += draw.uniform(3, 30) * blow
    return full_scale(sound, 0.7)


def string_clip(string: Sound, f1_hz: float, seed: int, *, q: float | None, snr_db: float) -> Sound:
    """Return a recorded string as a phone would hear it; `q` damps it further, as a belt is."""
    draw = np.random.default_rng(seed + SEED_REAL)
    count = int(SECONDS * RATE_HZ)
    onset = int(draw.uniform(0.35, 0.6) * RATE_HZ)
    sound = np.zeros(count)
    part = string[: count - onset].copy()
    if q is not None:
        part *= np.exp(-np.pi * f1_hz / q * np.arange(len(part)) / RATE_HZ)
    sound[onset : onset + len(part)] = part
    sound = room(sound, 0.3, 15.0, draw)
    sound, noise = through_phone(sound, pink(count, draw), onset, snr_db, (1, 80.0))
    return full_scale(sound + noise, 0.7)


def wav_of(sound: Sound) -> bytes:
    """Return the sound as the file that is kept: 48 kHz, one channel, 16 bit."""
    file = io.BytesIO()
    with wave.open(file, "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(RATE_HZ)
        out.writeframes(np.round(sound * 32_768).astype("<i2").tobytes())
    return file.getvalue()
