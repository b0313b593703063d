"""
`pluck` against belts whose pitch is known, against the phone's twin, and a reading computed anew.

The belts are synthetic (tests/pluck_belts.py); margins are a little wider than what
tests/bench/bench_pluck.py measures on more of them. It takes some 20 s: two hundred clips, and
each is fitted hundreds of times, most by the slower twin.
"""

import base64
import copy
import hashlib
import os
import subprocess
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from peer import CLIENT, find_node
from pluck_belts import clip_of, hard, near, plucked_again, wav_of, without_pluck
from twoturns.instruments import pluck
from twoturns.instruments.pluck import Pluck, Reading, estimate, near_range, read_clip, recompute
from twoturns.instruments.refusal import Refusal

pytestmark = pytest.mark.slow(16)

SEEDS = range(41_000, 41_014)
SLACK_SEEDS = range(8_000, 8_040)


def around(hz: float) -> tuple[float, float]:
    return near_range(0.9 * hz, 1.1 * hz, hz)


def heard(seed: int, kind=near) -> tuple[float, Pluck]:
    """The truth and the pluck of one belt, looked for around a target that is off itself."""
    belt = kind(seed)
    target = belt.f1_hz * np.random.default_rng(seed).uniform(0.8, 1.25)
    return belt.f1_hz, estimate(clip_of(belt), around(target))


def test_belts_plucked_as_asked_are_heard_within_a_few_percent():
    plucks = [heard(seed) for seed in range(40_000, 40_030)]
    off = np.array([abs(p.comb.hz / hz - 1) for hz, p in plucks if p.reject is None])
    assert len(off) >= 0.75 * len(plucks)
    assert np.mean(off < 0.02) >= 0.85
    assert np.max(off) < 0.06, "an octave, or another span"


def test_a_belt_in_noise_as_loud_as_itself_is_heard_where_all_witnesses_agree():
    """The noise takes of what a comb explains, so that alone is no reason to ask again."""
    found = [heard(seed, lambda seed: near(seed, snr_db=0.0)) for seed in range(40_000, 40_010)]
    counted = [(hz, p.comb) for hz, p in found if p.reject is None]
    assert len(counted) >= 5
    assert any(comb.score < pluck.LEAST_SCORE for _, comb in counted)
    assert all(abs(comb.hz / hz - 1) < 0.06 for hz, comb in counted)


@pytest.mark.parametrize("kind", [near, hard])
def test_a_belt_at_half_the_target_frequency_never_passes_by_its_octave(kind):
    said = Counter()
    for belt in (kind(seed) for seed in SLACK_SEEDS):
        target = 2 * belt.f1_hz
        if target < 440:
            said[estimate(clip_of(belt), around(target)).reject] += 1
    assert None not in said
    assert said["far"] > said.total() / 2, "most are recognised for what they are"


@pytest.mark.parametrize("seed", [*range(12), 103])
def test_noise_and_blows_are_no_plucks(seed):
    found = estimate(without_pluck(seed), None)
    assert found.reject is not None
    if seed % 2 == 0:
        assert found.reject == "no-pluck"


def test_a_clip_that_ends_too_soon_or_is_silent_says_so():
    sound = clip_of(near(40_000))
    assert estimate(sound[:20_000], None).reject == "too-short"
    assert estimate(sound[:34_000], None).reject == "too-short"
    assert estimate(np.zeros(96_000), None).reject == "no-pluck"


def test_a_pluck_out_of_digital_silence_is_heard():
    t = np.arange(72_000) / 48_000
    ringing = np.exp(-t * 90 * np.pi / 12) * np.sin(2 * np.pi * 90 * t)
    sound = np.round(np.concatenate([np.zeros(24_000), ringing]) * 20_000) / 32_768
    found = estimate(sound, around(95))
    assert found.reject is None
    assert found.comb.hz == pytest.approx(90, rel=2e-3)
    assert found.comb.q == pytest.approx(12, rel=0.1)
    assert found.onset_s == pytest.approx(0.5, abs=0.004)


def test_silence_round_a_clip_is_not_its_noise():
    """As a recorder leaves it that starts late or is padded; the noise's edge is no pluck."""
    belt = near(40_004)
    clip = clip_of(belt)
    plain = estimate(clip, around(belt.f1_hz))
    assert plain.reject is None
    silence = np.zeros(48_000)
    for padded, shift_s in (
        ((clip, silence), 0),
        ((silence, clip), 1),
        ((silence, clip, silence), 1),
    ):
        found = estimate(np.concatenate(padded), around(belt.f1_hz))
        assert found.reject is None
        assert found.comb.hz == pytest.approx(plain.comb.hz, rel=0.01)
        assert found.onset_s == pytest.approx(plain.onset_s + shift_s, abs=0.005)


def test_the_phone_and_the_server_hear_the_same(peer):
    """Same verdict on every clip, and the same figures far within what the rule asks."""
    cases = []
    for seed in SEEDS:
        for belt in (near(seed), hard(seed)):
            cases += [(clip_of(belt), belt.f1_hz * 1.1), (clip_of(belt), 2 * belt.f1_hz)]
    cases += [(without_pluck(seed), 90) for seed in range(8)]
    words = [[base64.b64encode(wav_of(sound)).decode(), list(around(hz))] for sound, hz in cases]
    accepted = 0
    for (sound, hz), theirs in zip(cases, peer.calls("pluck_estimate", words), strict=True):
        ours = estimate(sound, around(hz))
        assert theirs["reject"] == ours.reject
        assert theirs["strength"] == pytest.approx(ours.strength, rel=1e-9)
        assert theirs["isClipped"] == ours.is_clipped
        assert theirs["lags"] == pytest.approx(ours.lags, rel=1e-9)
        for name, comb in (("comb", ours.comb), ("blind", ours.blind)):
            assert (theirs[name] is None) == (comb is None)
            if comb:
                assert theirs[name]["hz"] == pytest.approx(comb.hz, rel=1e-6)
        accepted += ours.reject is None
    assert accepted >= 15, "they must not agree on nothing"


# A reading computed anew


@pytest.fixture(scope="module")
def reading() -> tuple[dict, dict[str, bytes]]:
    """A sheet as a phone writes it, and its clips."""
    belt = near(40_003)
    clips, rows = {}, []
    for number in range(9):
        clip = wav_of(clip_of(plucked_again(belt, number)))
        found = estimate(read_clip(clip), around(belt.f1_hz))
        if found.reject is None and len(rows) < 3:
            name = hashlib.sha256(clip).hexdigest()
            clips[name] = clip
            rows.append({"clip": name, "hz": f"{found.comb.hz:.3f}"})
    low, high = f"{0.9 * belt.f1_hz:.1f}", f"{1.1 * belt.f1_hz:.1f}"
    window = {"low": low, "high": high, "nominal": f"{belt.f1_hz:.1f}"}
    processing = {"echo": False, "noise": False, "gain": False}
    head = {"v": 1, "by": "pluck", "edition": 1, **window, "sample_rate": 44_100}
    return {**head, "processing": processing, "plucks": rows}, clips


@pytest.mark.parametrize("edition", pluck.READ)
def test_a_reading_is_computed_anew_from_its_clips(reading, edition):
    sheet, clips = reading
    found = recompute({**sheet, "edition": edition}, clips)
    assert isinstance(found, Reading)
    assert found.verdict == "in-range"
    assert not found.is_processed
    assert float(found.value) == pytest.approx(near(40_003).f1_hz, rel=0.02)
    assert pluck.same(sheet, found)
    assert pluck.same_value(found.value, found)


def test_the_verdict_is_the_windows(reading):
    sheet, clips = reading
    hz = near(40_003).f1_hz
    for factor, verdict in ((1.2, "low"), (0.8, "high")):
        limits = {"low": 0.95, "nominal": 1, "high": 1.05}
        window = {name: f"{share * factor * hz:.1f}" for name, share in limits.items()}
        assert recompute({**sheet, **window}, clips).verdict == verdict


def test_figures_that_the_clips_do_not_bear_out_are_found(reading):
    sheet, clips = reading
    found = recompute(sheet, clips)
    told = copy.deepcopy(sheet)
    told["plucks"][1]["hz"] = f"{found.plucks_hz[1] * 1.004:.3f}"
    assert pluck.same(told, found)
    told["plucks"][1]["hz"] = f"{found.plucks_hz[1] * 1.006:.3f}"
    assert not pluck.same(told, found)
    for value in (f"{float(found.value) * 1.02:.1f}", "-1", "many", ""):
        assert not pluck.same_value(value, found)


def broken_sheets(sheet: dict) -> Iterator[dict]:
    yield {}
    for name in sheet:
        yield {key: value for key, value in sheet.items() if key != name} | (
            {} if name != "sample_rate" else {"v": 2}
        )
    yield {**sheet, "low": "0", "high": "0"}
    yield {**sheet, "nominal": 5}
    yield {**sheet, "plucks": sheet["plucks"][:2]}
    yield {**sheet, "plucks": [1, 2, 3]}
    yield {**sheet, "processing": {"echo": 0, "noise": 0, "gain": 0}}


def test_a_sheet_without_its_form_is_refused(reading):
    sheet, clips = reading
    for broken in broken_sheets(sheet):
        found = recompute(broken, clips)
        assert isinstance(found, Refusal)
        assert found.code == "bad-sheet"


def test_clips_that_prove_nothing_are_refused(reading):
    sheet, clips = reading
    first = next(iter(clips))
    rows = sheet["plucks"]
    noise = wav_of(without_pluck(2))

    def code(plucks=rows, **instead: bytes) -> str:
        found = recompute({**sheet, "plucks": plucks}, {**clips, **instead})
        assert isinstance(found, Refusal)
        return found.code

    assert code([rows[0], rows[0], rows[1]]) == "clip-repeated"
    assert code(plucks=[*rows[:2], {"clip": "0" * 64, "hz": "90.0"}]) == "clip-missing"
    assert code(**{first: noise}) == "clip-rejected"
    assert code(**{first: clips[first][:-1]}) == "bad-clip"
    assert code(**{first: clips[first].replace(b"WAVE", b"WOVE")}) == "bad-clip"
    for edition in (0, pluck.EDITION + 1):
        assert recompute({**sheet, "edition": edition}, clips).code == "other-edition"
    other = wav_of(clip_of(near(40_003, f1_hz=near(40_003).f1_hz * 1.06)))
    assert code(**{first: other}) == "differ"


# The command line


def pluck_command(*words: str | Path) -> subprocess.CompletedProcess[str]:
    command = [find_node(), "pluck.mjs", *map(str, words)]
    return subprocess.run(command, cwd=CLIENT, capture_output=True, text=True, check=False)


def test_the_command_prints_a_bare_number_or_why_there_is_none(tmp_path):
    belt = near(40_003)
    file = tmp_path / "belt.wav"
    file.write_bytes(wav_of(clip_of(belt)))
    limits = [f"{share * belt.f1_hz:.0f}" for share in (0.9, 1.1)]
    for words in ([], limits):
        run = pluck_command(file, *words)
        assert (run.returncode, run.stderr) == (0, "")
        assert float(run.stdout) == pytest.approx(belt.f1_hz, rel=0.02)
    far = pluck_command(file, f"{1.9 * belt.f1_hz:.0f}", f"{2.1 * belt.f1_hz:.0f}")
    assert far.returncode == 0
    assert far.stdout.startswith("reject: far: ")


@pytest.mark.parametrize("words", [[], ["nothing.wav"], ["x.wav", "80"], ["x.wav", "80", "60"]])
def test_the_command_says_what_it_cannot_read(words):
    run = pluck_command(*words)
    assert (run.returncode, run.stdout) == (2, "")
    assert "Name a WAV file" in run.stderr or run.stderr.startswith("Usage:")


def test_the_command_is_in_the_package(tmp_path):
    """As it is called by hand: by npm, which changes to its own folder, from another one."""
    file = tmp_path / "noise.wav"
    file.write_bytes(b"RIFF")
    command = ["npm", "run", "-s", "--prefix", str(CLIENT), "pluck", "--", "noise.wav"]
    path = f"{Path(find_node()).parent}{os.pathsep}{os.environ['PATH']}"
    run = subprocess.run(
        command,
        cwd=tmp_path,
        env={**os.environ, "PATH": path},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (run.returncode, run.stdout) == (2, "")
    assert "noise.wav: The file is no WAV file." in run.stderr
