"""A camera over a toothed wheel: taps of known truth, for the tests and the bench of `marks`."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

FOCAL = 3000.0  # photo pixels: a common main lens on 4,000 pixels
WIDTH, HEIGHT = 4000, 3000
PITCH_RADIUS_MM = 56.0  # 44 teeth of 8 mm


@dataclass(frozen=True)
class Scene:
    """`tilt_deg` is between the line of sight to the hub and the wheel's axis."""

    teeth: int = 44
    span: int = 8
    apart: float = 0.0  # teeth from pointer to mark, clockwise as the camera sees it
    tilt_deg: float = 10.0
    off_axis_deg: float = 12.0  # the hub lies anywhere up to this far from the camera's axis
    distance_mm: float = 350.0
    focal: float = FOCAL
    pointer_depth_mm: float = 0.0  # behind the wheel's plane
    hub_height_mm: float = 0.0  # a proud bolt


class Wheel:
    """A wheel somewhere before the camera: `at` gives the photo's pixel of a place on it."""

    def __init__(self, scene: Scene, rng: np.random.Generator) -> None:
        self.scene = scene
        off = math.radians(scene.off_axis_deg) * math.sqrt(rng.random())
        around = rng.uniform(0, 2 * math.pi)
        sight = np.array(
            [math.sin(off) * math.cos(around), math.sin(off) * math.sin(around), math.cos(off)]
        )
        lean = np.cross(sight, rng.normal(size=3))
        lean /= np.linalg.norm(lean)
        tilt = math.radians(scene.tilt_deg)
        self.normal = -sight * math.cos(tilt) + lean * math.sin(tilt)
        right = np.cross(self.normal, rng.normal(size=3))
        self.right = right / np.linalg.norm(right)
        # Clockwise on the photo, where y runs down, for a wheel whose face looks at the camera.
        self.down = np.cross(self.right, self.normal)
        self.hub = sight * scene.distance_mm

    def at(self, angle: float, radius_mm: float, height_mm: float = 0.0) -> np.ndarray:
        place = (
            self.hub
            + radius_mm * (math.cos(angle) * self.right + math.sin(angle) * self.down)
            + height_mm * self.normal
        )
        middle = np.array([WIDTH / 2, HEIGHT / 2])
        return self.scene.focal * place[:2] / place[2] + middle


def pixels(scene: Scene, rng: np.random.Generator) -> dict[str, np.ndarray]:
    """Return all seven places as the camera sees them, in photo pixels."""
    wheel = Wheel(scene, rng)
    pitch = 2 * math.pi / scene.teeth
    half = scene.span / 2 * pitch
    pointer = rng.uniform(-0.5, 0.5) * pitch
    far = [math.pi + side * half + rng.uniform(-0.15, 0.15) for side in (-1, 1)]
    rim = PITCH_RADIUS_MM
    return {
        "hub": wheel.at(0, 0, scene.hub_height_mm),
        "tip_a": wheel.at(-half, rim),
        "tip_b": wheel.at(half, rim),
        "mark": wheel.at(pointer + scene.apart * pitch, 0.9 * rim),
        "pointer": wheel.at(pointer, 1.08 * rim, -scene.pointer_depth_mm),
        "far_a": wheel.at(far[0], rim),
        "far_b": wheel.at(far[1], rim),
    }


def sheet(
    scene: Scene,
    rng: np.random.Generator,
    *,
    radius_seen: float = 400.0,
    finger: float = 3.0,
    far: bool = False,
    mark_taps: int = 1,
) -> dict[str, object]:
    """
    Return a sheet as the phone makes it.

    Args:
        radius_seen: The wheel's radius on the screen while it is tapped, pixels.
        finger: Standard deviation of a tap per axis, screen pixels.
        mark_taps: Mark and pointer are each tapped so often and averaged.
    """
    seen = pixels(scene, rng)
    zoom = radius_seen / (scene.focal * PITCH_RADIUS_MM / scene.distance_mm)
    tapped = {}
    for name, place in seen.items():
        often = mark_taps if name in ("mark", "pointer") else 1
        hit = place + rng.normal(size=2) * finger / zoom / math.sqrt(often)
        tapped[name] = [round(100 * float(value)) for value in hit]
    names = ("hub", "tip_a", "tip_b", "mark", "pointer")
    taps: dict[str, object] = {name: tapped[name] for name in names}
    if far:
        taps["far"] = [tapped["far_a"], tapped["far_b"]]
    return {
        "width": WIDTH,
        "height": HEIGHT,
        "teeth": scene.teeth,
        "span": scene.span,
        "zoom_milli": round(1000 * zoom),
        "taps": taps,
    }
