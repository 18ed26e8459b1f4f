"""A photo is kept small and bare, whatever is in the file, and costs little memory and time."""

from __future__ import annotations

import struct
import subprocess
import sys
import zlib
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, as_completed
from io import BytesIO
from itertools import islice
from pathlib import Path
from threading import Event
from time import monotonic

import pytest
from PIL import Image, ImageCms, PngImagePlugin
from werkzeug.datastructures import FileStorage

from app.brews import photos
from app.brews.photos import small_jpeg
from app.config import MAX_REQUEST_BYTES

ROOT = Path(__file__).parents[2]
SECRET = b"Hazel Lane 9"
PLACE = 0x8825
COMMENT_IN_EXIF = 0x9286
MODEL, TURNED = 0x0110, 0x0112
XMP = b'<x:xmpmeta xmlns:x="adobe:ns:meta/">' + SECRET + b"</x:xmpmeta>"
# What the process took at the most before and while it made the photo small, in MB.
MEASURE = """
import resource, sys
from io import BytesIO
from PIL import Image, ImageCms, ImageOps, JpegImagePlugin, PngImagePlugin, WebPImagePlugin
from werkzeug.datastructures import FileStorage
from app.brews.photos import small_jpeg
from app.config import MAX_REQUEST_BYTES
def peak(): return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
small_jpeg(FileStorage(BytesIO(open(sys.argv[1], "rb").read()), filename="warm.png"))
before = peak()
try:
    said = len(small_jpeg(FileStorage(open(sys.argv[2], "rb"), filename="cup")))
except ValueError as error:
    said = error
print(peak() - before, said, sep="\\n")
"""


def _kept(file: bytes) -> bytes:
    jpeg = small_jpeg(FileStorage(BytesIO(file), filename="cup"))
    assert jpeg is not None
    return jpeg


def _saved(picture: Image.Image, kind: str, **noted: object) -> bytes:
    file = BytesIO()
    picture.save(file, kind, **noted)
    return file.getvalue()


def _exif(**noted: object) -> Image.Exif:
    exif = Image.Exif()
    exif[MODEL] = SECRET.decode()
    exif.get_ifd(PLACE).update({1: "N", 2: (51.0, 28.0, 40.0), 29: SECRET.decode()})
    exif.get_ifd(0x8769)[COMMENT_IN_EXIF] = SECRET
    exif.update({int(tag): value for tag, value in noted.items()})
    return exif


def _text() -> PngImagePlugin.PngInfo:
    text = PngImagePlugin.PngInfo()
    text.add_text("Comment", SECRET.decode())
    text.add_text("Author", SECRET.decode(), zip=True)
    text.add_itxt("Location", SECRET.decode(), "en", "place")
    text.add_itxt("XML:com.adobe.xmp", XMP.decode())
    return text


def _profile() -> bytes:
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def _png(width: int, height: int) -> bytes:
    """A black picture in colour, written a row at a time."""
    packer, row = zlib.compressobj(9), b"\0" * (1 + 3 * width)
    packed = b"".join(packer.compress(row) for _ in range(height)) + packer.flush()

    def chunk(kind: bytes, data: bytes) -> bytes:
        check = struct.pack(">I", zlib.crc32(kind + data))
        return struct.pack(">I", len(data)) + kind + data + check

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    parts = chunk(b"IHDR", head) + chunk(b"IDAT", packed) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + parts


def _wide_webp() -> bytes:
    """A small moving picture that says it is 16,384 pixels wide and high."""
    frames = [Image.new("RGB", (64, 64), colour) for colour in ("red", "blue")]
    file = bytearray(_saved(frames[0], "WEBP", save_all=True, append_images=frames[1:]))
    assert file[12:16] == b"VP8X"
    file[24:30] = b"\xff\x3f\x00" * 2
    return bytes(file)


def _many_scans(times: int) -> bytes:
    """A progressive JPEG whose last scan is sent again and again."""
    whole = _saved(Image.new("RGB", (512, 512), "red"), "JPEG", progressive=True)
    last = whole.rindex(b"\xff\xda")
    return whole[:-2] + whole[last:-2] * times + whole[-2:]


NOTED: dict[str, Callable[[], bytes]] = {
    "JPEG": lambda: _saved(
        Image.new("RGB", (80, 60)), "JPEG", exif=_exif(), comment=SECRET, xmp=XMP,
        icc_profile=_profile(),
    ),
    "PNG": lambda: _saved(
        Image.new("RGBA", (80, 60)), "PNG", exif=_exif(), pnginfo=_text(), icc_profile=_profile()
    ),
    "PNG of few colours": lambda: _saved(Image.new("P", (80, 60)), "PNG", pnginfo=_text()),
    "WEBP": lambda: _saved(
        Image.new("RGB", (80, 60)), "WEBP", exif=_exif(), xmp=XMP, icc_profile=_profile()
    ),
    "MPO": lambda: _saved(
        Image.new("RGB", (80, 60)), "MPO", save_all=True, exif=_exif(), comment=SECRET,
        append_images=[Image.new("RGB", (80, 60))],
    ),
    "grey JPEG": lambda: _saved(Image.new("L", (80, 60)), "JPEG", comment=SECRET, exif=_exif()),
    "JPEG for print": lambda: _saved(Image.new("CMYK", (80, 60)), "JPEG", comment=SECRET),
}  # fmt: skip


@pytest.mark.parametrize("kind", NOTED)
def test_nothing_that_was_noted_with_a_photo_is_kept(kind: str) -> None:
    """C15: a JPEG's comment was kept; the page promises a photo without place or camera data."""
    kept = _kept(NOTED[kind]())
    assert SECRET not in kept
    for marker in (b"\xff\xfe", b"Exif\0", b"ICC_PROFILE", b"http://ns.adobe.com", b"MPF\0"):
        assert marker not in kept
    with Image.open(BytesIO(kept)) as small:
        assert set(small.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
        assert not small.getexif()


@pytest.mark.parametrize(("kind", "how"), [("JPEG", 6), ("PNG", 6), ("WEBP", 6), ("JPEG", 8)])
def test_a_photo_held_sideways_stands_upright(kind: str, how: int) -> None:
    """C15: the note that says so is gone, so the picture itself is turned."""
    picture = Image.new("RGB", (80, 60), "red")
    picture.paste("blue", (0, 0, 80, 20))  # along the upper edge of the sensor
    exif = Image.Exif()
    exif[TURNED] = how
    with Image.open(BytesIO(_kept(_saved(picture, kind, exif=exif)))) as small:
        assert small.size == (60, 80)
        right, left = small.getpixel((55, 40)), small.getpixel((5, 40))
    blue, red = (right, left) if how == 6 else (left, right)
    assert isinstance(blue, tuple)
    assert isinstance(red, tuple)
    assert blue[2] > 200 > 50 > blue[0]
    assert red[0] > 200 > 50 > red[2]


def test_colours_of_another_profile_are_converted() -> None:
    """C15: the profile is dropped, so that what it meant has to be in the colours."""
    swapped = _profile().replace(b"rXYZ", b"....").replace(b"bXYZ", b"rXYZ")
    swapped = swapped.replace(b"....", b"bXYZ")  # what it calls red is blue
    for kind in ("PNG", "JPEG"):
        sent = _saved(Image.new("RGB", (40, 40), (200, 30, 30)), kind, icc_profile=swapped)
        with Image.open(BytesIO(_kept(sent))) as same:
            pixel = same.getpixel((20, 20))
        assert isinstance(pixel, tuple)
        assert all(abs(a - b) < 6 for a, b in zip(pixel, (30, 30, 200), strict=True))
    lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB"))
    unfit = _saved(Image.new("RGB", (40, 40), "red"), "PNG", icc_profile=lab.tobytes())
    broken = _saved(Image.new("RGB", (40, 40), "red"), "JPEG", icc_profile=b"no profile" * 30)
    assert _kept(unfit)
    assert _kept(broken)


def _measured(file: bytes, tmp_path: Path) -> tuple[float, str]:
    warm, sent = tmp_path / "warm.png", tmp_path / "sent"
    warm.write_bytes(_png(40, 30))
    sent.write_bytes(file)
    done = subprocess.run(
        [sys.executable, "-c", MEASURE, str(warm), str(sent)],
        cwd=ROOT, capture_output=True, text=True, check=True,
    )  # fmt: skip
    peak, said = done.stdout.strip().split("\n")
    return float(peak), said


@pytest.mark.skipif(sys.platform == "win32", reason="counts memory as POSIX does")
@pytest.mark.parametrize(
    "side", [(10_000, 6_000), (5_000, 4_801), (60_000_000, 1), (65_000, 65_000)]
)
def test_a_picture_of_too_many_pixels_is_refused_before_it_is_decoded(
    tmp_path: Path, side: tuple[int, int]
) -> None:
    """C15: a PNG of 170 KB took 0.8 GB."""
    few_rows = _png(side[0], min(side[1], 6000)) if side[0] < 60_000 else _png(8, 8)
    file = bytearray(few_rows)
    file[16:24] = struct.pack(">II", *side)
    file[29:33] = struct.pack(">I", zlib.crc32(file[12:29]))
    peak, said = _measured(bytes(file), tmp_path)
    assert said == "This photo has too many pixels; 24 million is the most."
    assert peak < 20


@pytest.mark.skipif(sys.platform == "win32", reason="counts memory as POSIX does")
def test_the_largest_picture_taken_costs_little_memory(tmp_path: Path) -> None:
    """C15: 200 MB for a PNG of 24 million pixels, far less for a JPEG."""
    noise = Image.effect_noise((1000, 800), 60).resize((6000, 4000)).convert("RGB")
    jpeg = _saved(noise, "JPEG", quality=60)
    for file, most in ((_png(6000, 4000), 200), (jpeg, 60)):
        peak, said = _measured(file, tmp_path)
        assert int(said) > 1000
        assert peak < most


@pytest.mark.skipif(sys.platform == "win32", reason="counts memory as POSIX does")
def test_a_webp_that_says_it_is_huge_takes_no_memory(tmp_path: Path) -> None:
    """C15: of the two sizes that it names the larger one counts."""
    peak, said = _measured(_wide_webp(), tmp_path)
    assert said == "This photo has too many pixels; 24 million is the most."
    assert peak < 20


def test_a_file_of_many_pictures_is_refused() -> None:
    """C15: one photo is what is kept; a film is not decoded to find it."""
    frames = [Image.new("RGB", (64, 64), (n, n, n)) for n in range(0, 240, 20)]
    for kind in ("WEBP", "PNG"):
        film = _saved(frames[0], kind, save_all=True, append_images=frames[1:])
        with pytest.raises(ValueError, match="more than 10 pictures"):
            _kept(film)
        assert _kept(_saved(frames[0], kind, save_all=True, append_images=frames[1:3]))


def test_a_jpeg_of_endless_scans_is_refused() -> None:
    """C15: each scan goes over the whole picture again, and a scan can be a few bytes."""
    assert _kept(_many_scans(5))
    with pytest.raises(ValueError, match="not a JPEG, PNG or WebP photo"):
        _kept(_many_scans(2000))


def test_a_file_beyond_all_bounds_is_not_decoded() -> None:
    """C15: 12 MB is the most, whoever calls."""
    with pytest.raises(ValueError, match="12 MB is the most"):
        _kept(b"\xff\xd8" + b"x" * MAX_REQUEST_BYTES)


def test_photos_are_decoded_one_at_a_time_and_wait_a_bounded_time(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """C15: six at once took 3.9 GB."""
    at_work, most, go_on = [0], [0], Event()

    def slow(_file: bytes) -> bytes:
        at_work[0] += 1
        most[0] = max(most[0], at_work[0])
        go_on.wait(10)
        at_work[0] -= 1
        return b"jpeg"

    monkeypatch.setattr(photos, "_decoded", slow)
    monkeypatch.setattr(photos, "WAIT_S", 0.3)
    with ThreadPoolExecutor(6) as pool:
        began = monotonic()
        sent = [pool.submit(_kept, b"photo") for _ in range(6)]
        refused = [str(one.exception()) for one in islice(as_completed(sent), 5)]
        waited = monotonic() - began
        go_on.set()
    assert most[0] == 1
    assert waited < 5
    assert [said for said in refused if "choose the photo again" not in said] == []
