"""
`sharpness` against scipy, the rows of our design's table (ten free photos, six blurs, noise), the
phone's twin on the same pixels, and Chromium's decoder on the same files.
"""

import base64
import io
import warnings

import numpy as np
import pytest
from PIL import Image
from scipy import ndimage
from skimage.measure import block_reduce

from bundled import bundled
from ledger_vectors import vectors
from shots import BLURS, SHARP, blurred, exposed, photo, small, taken
from twoturns.instruments.sharpness import (
    Quality,
    quality_of_photo,
    quality_of_pixels,
    same,
)

pytestmark = pytest.mark.slow(7)

VECTORS = vectors("sharpness")
# What a phone says of a shot from where on: client/src/instruments/shot-advice.ts.
RETAKE_BELOW = 250  # tenths
WARN_BELOW = 330
MOST_BLOWN_PERMILLE = 100
LEAST_MEAN = 60
PICTURES = [case for case in VECTORS["cases"] if "width" in case]


def drawn(case: dict[str, object]) -> np.ndarray:
    y, x = np.mgrid[: case["height"], : case["width"]].astype(np.int64)
    channels = [
        np.minimum(255, (a * x * x + b * y * y + c * x * y + d * x + e * y + f) % m)
        for a, b, c, d, e, f, m in case["channels"]
    ]
    return np.stack(channels, axis=-1).astype(np.uint8)


def sharp(rgb: np.ndarray) -> float:
    found = quality_of_pixels(rgb)
    assert found is not None
    return found.sharp_tenths / 10


@pytest.mark.parametrize("case", VECTORS["cases"], ids=lambda case: case["name"])
def test_vectors(case):
    told = case["quality"] and Quality(**case["quality"])
    if "width" in case:
        assert quality_of_pixels(drawn(case)) == told


@pytest.mark.parametrize("name", ["astronaut", "camera", "gravel"])
def test_against_scipy(name):
    """Gaussian and Laplacian by scipy on a picture halved by block means: another road, floats."""
    twice = np.kron(photo(name), np.ones((2, 2, 1))).astype(np.uint8)[:1024, :1024]
    gray = block_reduce(twice @ np.array([0.299, 0.587, 0.114]), (2, 2), np.mean)
    laplacian = ndimage.laplace(ndimage.gaussian_filter(gray, 0.7, truncate=3))[3:-3, 3:-3]
    expected = np.percentile(np.abs(laplacian), 99.5, method="inverted_cdf")
    found = quality_of_pixels(twice)
    assert found is not None
    assert found.sharp_tenths / 10 == pytest.approx(expected, rel=0.01)
    assert found.mean == pytest.approx(gray.mean(), abs=1)
    assert found.blown_permille == pytest.approx(1000 * np.mean(gray >= 250), abs=2)


def test_it_does_not_matter_which_way_up_the_file_lies():
    case = next(case for case in PICTURES if case["name"] == "upright, fine waves")
    upright = drawn(case)
    turned = [np.rot90(upright, quarter) for quarter in range(4)]
    found = {quality_of_pixels(view) for view in (*turned, *(view[:, ::-1] for view in turned))}
    assert len(found) == 1


@pytest.mark.parametrize("sigma", [2, 8])
def test_the_threshold_rows_are_reached(sigma):
    """
    Our design's table, of ten free photos that it does not name one by one: all sharp ones kept,
    83 to 87 % of the blurred ones below nine tenths of the lowest, AUC 0.990. With the ten of
    shots.py: all kept, 62 to 77 % below 25 and 90 to 92 % below 33, AUC 0.957. What is lost is
    the faintest motion in the finest textures: the comparison with the shot before finds it.
    """
    rng = np.random.default_rng(9)
    kept, rejected, pairs = [], [], []
    for name in SHARP:
        gray = small(name)
        noise = rng.normal(size=gray.shape) * sigma
        whole = sharp(taken(gray, noise))
        spoilt = [sharp(taken(blurred(gray, kernel), noise)) for kernel in BLURS.values()]
        assert max(spoilt) < whole, name  # the order within one scene never fails
        kept.append(whole)
        rejected += spoilt
    pairs = [lower < higher for higher in kept for lower in rejected]
    assert min(kept) >= RETAKE_BELOW / 10
    assert np.mean(np.array(rejected) < RETAKE_BELOW / 10) >= 0.60
    assert np.mean(np.array(rejected) < WARN_BELOW / 10) >= 0.88
    assert np.mean(pairs) >= 0.95


def test_a_dark_noisy_blurred_photo_does_not_pass_as_sharp():
    """The trap: the variance of its Laplacian is that of a sharp photo, because noise is rough."""
    gray = blurred(small("coffee"), BLURS["disc 5"]) / 2
    noisy = taken(gray, np.random.default_rng(3).normal(size=gray.shape) * 6)
    of_noise = ndimage.laplace(noisy[..., 0].astype(float)).var()
    of_sharp = ndimage.laplace(small("coffee")).var()
    assert of_noise > 0.8 * of_sharp
    found = quality_of_pixels(noisy)
    assert found is not None
    assert found.sharp_tenths < RETAKE_BELOW


def test_really_moved_and_plain_pictures_are_called_blurred():
    from skimage import io as skimage_io
    from skimage.data import data_dir

    clock = quality_of_pixels(taken(skimage_io.imread(f"{data_dir}/clock_motion.png")))
    assert clock is not None
    assert clock.sharp_tenths < RETAKE_BELOW


@pytest.mark.parametrize("name", ["astronaut", "camera", "coffee", "gravel"])
def test_exposure(name):
    gray = small(name)
    dark, fine, blown = (quality_of_pixels(taken(exposed(gray, stops))) for stops in (-3, 0, 2))
    assert dark.mean < LEAST_MEAN <= min(fine.mean, blown.mean)
    assert fine.blown_permille <= MOST_BLOWN_PERMILLE < blown.blown_permille
    assert fine.sharp_tenths >= WARN_BELOW


@pytest.mark.parametrize("photo_bytes", [b"", b"no picture", b"\xff\xd8\xff\xe0 cut off"])
def test_what_cannot_be_decoded_has_no_figures(photo_bytes):
    assert quality_of_photo(photo_bytes) is None


def test_the_phone_says_the_same_of_the_same_pixels_to_the_digit(peer):
    rng = np.random.default_rng(5)
    pictures = [drawn(case) for case in PICTURES if case["width"] < 900]
    for _ in range(25):
        height, width = (int(side) for side in rng.integers(14, 620, 2))
        pictures.append(rng.integers(0, 256, (height, width, 3)).astype(np.uint8))
    asked = [[p.shape[1], p.shape[0], base64.b64encode(p.tobytes()).decode()] for p in pictures]
    for picture, told in zip(pictures, peer.calls("quality_of_pixels", asked), strict=True):
        ours = quality_of_pixels(picture)
        assert (ours and ours.__dict__) == told


def jpeg(rgb: np.ndarray, quality: int, orientation: int = 1) -> bytes:
    exif = Image.Exif()
    exif[0x0112] = orientation
    out = io.BytesIO()
    Image.fromarray(rgb).save(out, "JPEG", quality=quality, exif=exif)
    return out.getvalue()


@pytest.mark.browser
def test_chromium_decodes_the_same_figures(browser, tmp_path):
    """Two decoders, one file: `same` holds. A blurred shot of the scene is not the same."""
    script = bundled("instruments/sharpness-photo.ts", "photo", tmp_path)
    large = np.asarray(
        Image.fromarray(photo("retina")).resize((3000, 2250), Image.Resampling.BICUBIC)
    )
    files = [
        jpeg(photo("astronaut"), 92),
        jpeg(photo("rocket"), 60, orientation=6),
        jpeg(large, 85, orientation=8),
    ]
    page = browser.new_page()
    page.add_script_tag(content=script)
    ask = """async (text) => {
      const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0))
      return photo.photoQuality(new Blob([bytes], { type: 'image/jpeg' }))
    }"""
    for file in files:
        told = Quality(**page.evaluate(ask, base64.b64encode(file).decode()))
        ours = quality_of_photo(file)
        assert ours is not None
        assert same(told, ours), (told, ours)
    assert page.evaluate(ask, base64.b64encode(b"no picture").decode()) is None
    page.close()
    soft = quality_of_pixels(taken(blurred(small("astronaut"), BLURS["disc 2"])))
    ours = quality_of_photo(files[0])
    assert soft is not None
    assert ours is not None
    assert not same(soft, ours)


@pytest.mark.parametrize("kind", ["TIFF", "EPS", "GIF", "BMP"])
def test_what_no_phone_takes_is_not_opened(kind):
    """A file that an auditor was sent may be of any kind, and some are programs."""
    out = io.BytesIO()
    Image.new("RGB", (64, 48)).save(out, kind)
    assert quality_of_photo(out.getvalue()) is None


def test_a_photo_with_changed_bytes_is_judged_or_passed_over():
    rng = np.random.default_rng(7)
    for kind in ("JPEG", "PNG", "WEBP"):
        out = io.BytesIO()
        Image.radial_gradient("L").convert("RGB").save(out, kind)
        for _ in range(60):
            damaged = np.frombuffer(out.getvalue(), np.uint8).copy()
            damaged[rng.integers(0, min(len(damaged), 400), 6)] = rng.integers(0, 256, 6)
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")  # of what was changed, Pillow warns as it likes
                quality_of_photo(damaged.tobytes())
