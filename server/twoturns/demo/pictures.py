"""
Pictures for the demo's photos, each drawn for what its proof asks to be seen.

Drawn, never photographed; each says so in a corner. The same job gives the same pictures: no chance
is in them. What no drawing is for (the procedure of somebody else) shows the drive, close to where
the step looks.
"""

import io
from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from typing import Any, Final

import numpy as np
from PIL import Image, ImageChops, ImageDraw

from twoturns.demo import drawn_engine, drawn_found, drawn_place, drawn_written
from twoturns.demo.canvas import CHALK, DARK, HEIGHT, WIDTH, Canvas, font_of
from twoturns.demo.drawn_drive import drive, view_of
from twoturns.demo.drawn_written import Seen
from twoturns.demo.scripted_phone import Photo
from twoturns.instruments.sharpness import quality_of_photo
from twoturns.words import t
from twoturns.words.en.demo import pictures as words

# What looks alike on every job, and what is drawn for one: by the name of the photo.
ALIKE: Final[Mapping[str, Callable[[Canvas], None]]] = {
    "belt_after": drawn_engine.belt_after_running,
    "belt_after_drive": drawn_engine.belt_after_running,
    "clean_face": drawn_engine.pump_face,
    "clean_seats": drawn_engine.roller_seats,
    "coolant_can": drawn_written.coolant_can,
    "failed_belt": drawn_engine.failed_belt,
    "level_mark": drawn_written.level_in_tank,
    "lug": drawn_engine.lug_in_slot,
    "new_seal": drawn_engine.new_seal,
    "pads": drawn_place.pad_at_point,
    "pads_again": drawn_place.pad_at_point,
    "prop_carries": drawn_place.prop_under_engine,
    "rag": drawn_engine.rag,
    "ribs": drawn_engine.ribs_on_wheels,
    "ribs_photo": drawn_engine.ribs_on_wheels,
    "scene_photo": drawn_place.scene_behind_barrier,
    "shield": drawn_place.van_and_cones,
    "stands": drawn_place.stand_under_point,
    "stands_again": drawn_place.stand_under_point,
    "strands_photo": drawn_engine.strands,
    "worn": drawn_engine.what_wore_it,
}
OF_A_JOB: Final[Mapping[str, Callable[[Canvas, Seen], None]]] = {
    "belt_teeth_side": drawn_engine.old_belt_beside_new,
    "engine_code": drawn_written.code_on_block,
    "finding": drawn_found.finding,
    "leaks_found": drawn_engine.seals_and_weep_hole,
    "leaks_per_cylinder": drawn_written.pad_of_figures,
    "passed": drawn_written.note_to_driver,
    "path_photo": drawn_written.path_plate,
    "port": drawn_engine.behind_the_wheel,
    "seals_found": drawn_engine.two_camshaft_seals,
    "sticker_photo": drawn_written.sticker,
    "tag_photo": drawn_written.tag,
}
# What the drive itself shows: all of it, with its pins in or without.
OF_THE_DRIVE: Final = ("whole_drive", "drive_as_left")
WITH_PINS: Final = ("pins_home", "pins_again", "locks_home", "locks_again")

_SHAKE: Final = 9  # pixels; no hand holds twice alike
_WHOLE_SHARE: Final = 0.38  # of the shorter side, from the middle: the band with the words is free
_GRAIN: Final = 11.0  # of 255, one sigma
_QUALITY: Final = 72


class Camera:
    """Takes the pictures of one bundle's steps, on one job after the other."""

    def __init__(self, bundle: Mapping[str, Any]) -> None:
        self._drive = bundle["drive"]
        self._steps = {one["id"]: one for one in bundle["steps"]}
        self._wheels = {one["id"]: one for one in self._drive["wheels"]}
        self._tags = {one["slot"]: one.get("tag", one["label"]) for one in bundle["tools"]}
        self._drawn: dict[tuple[str, tuple[str, ...]], Image.Image] = {}
        self._shots = 0

    def on(self, seen: Seen) -> Callable[[str, str], Photo]:
        """Return what photographs on one job: a step and the name of a photo in, the photo out."""

        def photo(step: str, name: str) -> Photo:
            return self._photo(step, name, seen)

        return photo

    def _photo(self, step: str, name: str, seen: Seen) -> Photo:
        self._shots += 1
        said = self._steps[step]
        asked: Mapping[str, Any] = next((one for one in said["proof"] if one["name"] == name), {})
        picture = self._picture(said, name, asked.get("wheel"), seen)
        # A wheel whose mark is tapped stands where the taps are.
        shaken = picture if "wheel" in asked else _shaken(picture, self._shots)
        image = _lit(shaken, self._shots)
        _caption(image, f"{said['number']}  {asked.get('label', name)}".strip())
        out = io.BytesIO()
        image.save(out, "JPEG", quality=_QUALITY)
        return Photo(out.getvalue(), WIDTH, HEIGHT, quality_of_photo(out.getvalue()))

    def _picture(
        self, step: Mapping[str, Any], name: str, wheel: str | None, seen: Seen
    ) -> Image.Image:
        """Return what stands before the camera, drawn once for all jobs that it is alike on."""
        if wheel is None and name in OF_A_JOB:
            canvas = Canvas()
            OF_A_JOB[name](canvas, seen)
            return canvas.seen()
        look = (wheel,) if wheel else tuple(step["look"])
        if (name, look) not in self._drawn:
            self._drawn[name, look] = self._alike(name, look, is_of_drive=wheel is not None)
        return self._drawn[name, look]

    def _alike(self, name: str, look: Sequence[str], *, is_of_drive: bool) -> Image.Image:
        canvas = Canvas()
        if name in ALIKE and not is_of_drive:
            ALIKE[name](canvas)
            return canvas.seen()
        looked_at = [self._wheels[one] for one in look if one in self._wheels]
        if looked_at and name not in (*OF_THE_DRIVE, *WITH_PINS):
            view = view_of(looked_at[:1])
        else:
            view = view_of(list(self._wheels.values()), _WHOLE_SHARE)
        drive(canvas, self._drive, view, self._tags if name in WITH_PINS else {})
        return canvas.seen()


def _shaken(picture: Image.Image, shot: int) -> Image.Image:
    """The picture as another hand would hold the camera: some pixels off, and as much closer."""
    x, y = shot * 7 % (2 * _SHAKE), shot * 11 % (2 * _SHAKE)
    box = (x, y, WIDTH - 2 * _SHAKE + x, HEIGHT - 2 * _SHAKE + y)
    return picture.resize((WIDTH, HEIGHT), Image.Resampling.NEAREST, box)


def _lit(picture: Image.Image, shot: int) -> Image.Image:
    """The picture under a lamp that is held somewhere else at each shot."""
    x, y = shot * 37 % (WIDTH // 4), shot * 53 % (HEIGHT // 4)
    return ImageChops.multiply(picture, _lamp().crop((x, y, x + WIDTH, y + HEIGHT)))


@lru_cache
def _lamp() -> Image.Image:
    """Light that falls off from its middle, with the grain of a sensor in it."""
    size = (WIDTH * 5 // 4, HEIGHT * 5 // 4)
    far = Image.radial_gradient("L").resize(size)
    warm, cold = Image.new("RGB", size, (244, 239, 228)), Image.new("RGB", size, (150, 158, 166))
    light = np.asarray(Image.composite(cold, warm, far), np.float32)
    grain = np.random.default_rng(1).standard_normal((*light.shape[:2], 1), np.float32)
    return Image.fromarray(np.clip(light + _GRAIN * grain, 0, 255).astype(np.uint8))


def _caption(image: Image.Image, label: str) -> None:
    draw = ImageDraw.Draw(image)
    draw.rectangle((0, HEIGHT - 64, WIDTH, HEIGHT), fill=DARK)
    draw.text((24, HEIGHT - 50), label, fill=CHALK, font=font_of(34))
    draw.text(
        (WIDTH - 20, HEIGHT - 42), t(words.CAPTION), fill=CHALK, font=font_of(20), anchor="ra"
    )
