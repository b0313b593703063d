"""Each photo that a demo procedure asks for has its own drawing, and a phone would take it."""

import io
import re
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from demo_procedures import HATCH, ROADSIDE, VAN, loaded
from twoturns.demo import pictures
from twoturns.demo.drawn_drive import view_of
from twoturns.demo.drawn_written import Seen
from twoturns.demo.pictures import ALIKE, OF_A_JOB, OF_THE_DRIVE, WITH_PINS, Camera
from twoturns.demo.scripted_measures import WHEEL_SHARE
from twoturns.instruments.sharpness import quality_of_photo

pytestmark = pytest.mark.slow(8)

SHARPNESS = Path(__file__).parents[3] / "client" / "src" / "instruments" / "shot-advice.ts"
SEEN = Seen(date(2026, 11, 18), 108_420, "QL-19D4", "NH-24-0917", (date(2032, 11, 18), 218_420))
DRAWN = {*ALIKE, *OF_A_JOB, *OF_THE_DRIVE, *WITH_PINS}


def asked_for():
    """Each photo that a procedure of the demo asks for, once: bundle, step, name."""
    found = {}
    for procedure in (VAN, HATCH, ROADSIDE):
        bundle = loaded(procedure).bundle
        for step in bundle["steps"]:
            for proof in step["proof"]:
                if proof["kind"] == "photo":
                    found.setdefault(proof["name"], (bundle, step["id"], proof["name"]))
    return found


ASKED_FOR = asked_for()


def limit(name: str) -> int:
    """A threshold of the phone's, which decides whether a photo is to be taken again."""
    return int(re.search(rf"const {name} = (\d+)", SHARPNESS.read_text())[1])


def test_no_photo_lacks_its_drawing():
    assert sorted(set(ASKED_FOR) - DRAWN) == []


def test_no_drawing_is_for_a_photo_that_nobody_asks_for():
    """But for that of a house rule, passed, and of what is found beside the work."""
    assert sorted(DRAWN - set(ASKED_FOR)) == ["finding", "passed"]


@pytest.mark.parametrize("name", sorted(ASKED_FOR))
def test_a_phone_would_take_it_as_sharp_and_light_enough(name):
    bundle, step, _ = ASKED_FOR[name]
    photo = Camera(bundle).on(SEEN)(step, name)
    quality = quality_of_photo(photo.data)
    assert quality == photo.quality  # as its phone writes it down
    assert quality.sharp_tenths >= limit("WARN_BELOW")
    assert quality.mean >= limit("LEAST_MEAN")
    assert quality.blown_permille <= limit("MOST_BLOWN_PERMILLE")


def pixels(photo):
    return np.asarray(Image.open(io.BytesIO(photo.data)).convert("L"), np.int16)


def test_the_same_job_gives_the_same_pictures():
    bundle, step, name = ASKED_FOR["sticker_photo"]
    first, again = (Camera(bundle).on(SEEN)(step, name) for _ in range(2))
    assert first == again


def test_no_hand_holds_the_camera_twice_alike():
    bundle, step, name = ASKED_FOR["clean_face"]
    photograph = Camera(bundle).on(SEEN)
    assert photograph(step, name).data != photograph(step, name).data


def test_what_is_wet_does_not_look_as_what_is_dry():
    bundle, step, name = ASKED_FOR["leaks_found"]
    dry = pixels(Camera(bundle).on(SEEN)(step, name))
    wet = pixels(Camera(bundle).on(Seen(**{**vars(SEEN), "looks": {name: "oil"}}))(step, name))
    assert (np.abs(dry - wet) > 30).mean() > 0.01


def test_a_sticker_says_what_is_so_on_its_job(monkeypatch):
    written = []
    monkeypatch.setattr(pictures.Canvas, "words", lambda _, at, said, *how: written.append(said))
    pictures.OF_A_JOB["sticker_photo"](pictures.Canvas(), SEEN)
    said = [one.replace("\u202f", " ") for one in written]
    assert {"18.11.2026", "108 420 km", "NH-24-0917", "18.11.2032, 218 420 km"} <= set(said)


def test_a_wheel_whose_mark_is_tapped_stands_where_the_taps_are():
    """`scripted_measures.tapped`: its middle in the middle, its radius a share of the height."""
    wheel = next(one for one in loaded(HATCH).bundle["drive"]["wheels"] if "mark_mdeg" in one)
    view = view_of([wheel])
    x, y = view.at(wheel["x_um"], wheel["y_um"])
    assert (x, y) == pytest.approx((480, 360))
    assert wheel["r_um"] * view.px_per_um == pytest.approx(WHEEL_SHARE * 720)
