"""A photo without what is beside its pixels, held against Pillow, another's reader of files."""

import io
import random

import pytest
from PIL import Image, ImageCms
from PIL.PngImagePlugin import PngInfo

from photos import bomb
from twoturns.bag.strip_metadata import bare

SECRET = b"48 12 30 N, Camera maker"
PICTURE = Image.effect_mandelbrot((400, 300), (-2, -1, 1, 1), 50).convert("RGB")
PROFILE = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def exif(turned: int = 6) -> Image.Exif:
    said = Image.Exif()
    said[0x010F] = SECRET.decode()
    said[0x0112] = turned
    said.get_ifd(0x8825)[1] = "N"
    said.get_ifd(0x8825)[2] = (48.0, 12.0, 30.0)
    return said


def saved(kind: str, image: Image.Image = PICTURE, **how: object) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **how)
    return out.getvalue()


def text() -> PngInfo:
    info = PngInfo()
    info.add_text("where", SECRET.decode())
    info.add_itxt("where", SECRET.decode())
    return info


PHOTOS = {
    "JPEG": saved("JPEG", exif=exif(), icc_profile=PROFILE, comment=SECRET),
    "JPEG, progressive": saved("JPEG", exif=exif(), progressive=True, comment=SECRET),
    "JPEG, with restarts": saved("JPEG", exif=exif(1), restart_marker_blocks=3),
    "JPEG, CMYK": saved("JPEG", PICTURE.convert("CMYK"), comment=SECRET),
    "JPEG, gray": saved("JPEG", PICTURE.convert("L"), exif=exif(3)),
    "JPEG with more behind its end": saved("JPEG", exif=exif()) + b"ftypmp42" + SECRET,
    "PNG": saved("PNG", exif=exif(), pnginfo=text(), icc_profile=PROFILE),
    "PNG with a palette": saved("PNG", PICTURE.convert("P"), exif=exif(1), transparency=3),
    "PNG with more behind its end": saved("PNG", exif=exif()) + SECRET,
    "PNG that moves": saved(
        "PNG", save_all=True, append_images=[PICTURE.rotate(90)], pnginfo=text()
    ),
    "WebP": saved("WEBP", exif=exif(), icc_profile=PROFILE, xmp=SECRET),
    "WebP without loss": saved("WEBP", PICTURE.convert("RGBA"), lossless=True, exif=exif()),
    "WebP with more behind its end": saved("WEBP", exif=exif()) + SECRET,
}


def made(data: bytes) -> tuple[str, bytes]:
    found = bare(data)
    return found.kind, found.of(data)


@pytest.mark.parametrize("name", PHOTOS)
def test_the_pixels_stay_and_nothing_else_does(name):
    data = PHOTOS[name]
    kind, out = made(data)
    with Image.open(io.BytesIO(data)) as before, Image.open(io.BytesIO(out)) as after:
        assert kind == Image.MIME[before.format] == Image.MIME[after.format]
        assert (before.mode, before.size) == (after.mode, after.size)
        assert before.tobytes() == after.tobytes()
        turned = before.getexif().get(0x0112, 1)
        assert dict(after.getexif()) == ({} if turned == 1 else {0x0112: turned})
        assert not {"icc_profile", "comment", "xmp", "where"} & set(after.info)
    assert SECRET not in out
    assert PROFILE not in out
    assert made(out) == (kind, out)  # nothing is left to be taken off


@pytest.mark.parametrize(
    "data",
    [
        b"no picture",
        b"<svg xmlns=''/>",
        saved("GIF", PICTURE),
        bomb(13_000),
        PHOTOS["JPEG"][:-2],
        PHOTOS["JPEG"][:900],
        PHOTOS["PNG"][:-12],
        PHOTOS["WebP"][:-40],
        saved("WEBP", save_all=True, append_images=[PICTURE.rotate(90)]),
    ],
)
def test_what_is_no_still_picture_built_as_its_kind_is_left_alone(data):
    assert bare(data) is None


@pytest.mark.filterwarnings("ignore::UserWarning")  # Pillow's remarks on broken metadata
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_no_change_of_its_bytes_makes_it_fail_or_lets_the_place_out(kind):
    good, rng = saved(kind, PICTURE.resize((40, 30)), exif=exif()), random.Random(1)
    for _ in range(2000):
        data = bytearray(good)
        for _ in range(rng.randint(1, 6)):
            data[rng.randrange(min(len(data), 300))] = rng.choice([0, 1, 127, 255])
        found = bare(bytes(data))
        if found is not None:
            assert SECRET not in found.of(bytes(data))
