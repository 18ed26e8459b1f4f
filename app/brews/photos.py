"""A photo as it was uploaded, turned into a small JPEG that tells nothing but the picture.

Decoding is where a hostile file costs most, so its size is bounded before it is decoded, and one
photo is decoded at a time.
"""

import warnings
from contextlib import suppress
from io import BytesIO
from threading import BoundedSemaphore
from typing import TYPE_CHECKING

from werkzeug.datastructures import FileStorage

from app.config import MAX_REQUEST_BYTES, MAX_REQUEST_MB

if TYPE_CHECKING:
    from PIL.Image import Image

LONGEST_SIDE_PX = 1600
MOST_PIXELS = 24_000_000
MOST_FRAMES = 10
# Of a JPEG: each scan goes over the whole picture again. Cameras and editors write about ten.
MOST_SCANS = 60
START_OF_SCAN = b"\xff\xda"
MOST_PROFILE_BYTES = 1024 * 1024
FORMATS = ("JPEG", "PNG", "WEBP", "MPO")
WAIT_S = 10.0

TOO_MANY_PIXELS = "This photo has too many pixels; 24 million is the most."
TOO_LARGE = f"This photo is too large; {MAX_REQUEST_MB} MB is the most."
MOVING = f"This file holds more than {MOST_FRAMES} pictures; please choose a single photo."
UNREADABLE = "This is not a JPEG, PNG or WebP photo that can be read."
BUSY = (
    "Other photos are being made small at the moment. Please choose the photo again and save once "
    "more."
)

_one_at_a_time = BoundedSemaphore(1)


def small_jpeg(upload: FileStorage) -> bytes | None:
    """The upload turned into a small JPEG; None if nothing was chosen.

    What the camera or an editor noted (EXIF with place and time, XMP, comments, text, thumbnails)
    is left behind; colours are converted to sRGB and the profile is dropped; a photo that was
    held sideways is turned. Raises ValueError with a sentence for anything that is no picture, is
    too large, or has to wait too long for its turn.
    """
    if not upload or not upload.filename:
        return None
    file = upload.stream.read(MAX_REQUEST_BYTES + 1)
    if len(file) > MAX_REQUEST_BYTES:
        raise ValueError(TOO_LARGE)
    if not _one_at_a_time.acquire(timeout=WAIT_S):
        raise ValueError(BUSY)
    try:
        return _decoded(file)
    finally:
        _one_at_a_time.release()


def _decoded(file: bytes) -> bytes:
    from PIL.Image import DecompressionBombError, DecompressionBombWarning

    warnings.simplefilter("error", DecompressionBombWarning)
    try:
        picture = _small(file)
    except (DecompressionBombError, DecompressionBombWarning):
        raise ValueError(TOO_MANY_PIXELS) from None
    except Refused as refused:
        raise ValueError(str(refused)) from None
    except Exception:
        raise ValueError(UNREADABLE) from None
    jpeg = BytesIO()
    picture.save(jpeg, "JPEG", quality=82, optimize=True)
    return jpeg.getvalue()


class Refused(Exception):
    """A picture that could be read, but is not taken; the text says why."""


def _small(file: bytes) -> "Image":
    """The picture at its final size, upright, in sRGB, with nothing noted beside it."""
    from PIL import Image, ImageOps

    with Image.open(BytesIO(file), formats=FORMATS) as picture:
        if picture.width * picture.height > MOST_PIXELS:
            raise Refused(TOO_MANY_PIXELS)
        if getattr(picture, "n_frames", 1) > MOST_FRAMES:
            raise Refused(MOVING)
        if picture.format in {"JPEG", "MPO"} and file.count(START_OF_SCAN) > MOST_SCANS:
            raise Refused(UNREADABLE)
        small: Image.Image = picture
        if picture.mode not in {"RGB", "RGBA", "L", "CMYK"}:  # the others cannot be made smaller
            small = picture.convert("RGB")
        # Of a JPEG this decodes a draft: no more pixels than the small one needs.
        small.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX))
        upright = _in_srgb(ImageOps.exif_transpose(small))
    bare = Image.new("RGB", upright.size)
    bare.paste(upright)
    return bare


def _in_srgb(picture: "Image") -> "Image":
    """In sRGB as far as the photo's own profile can be read, else as if it had none."""
    from PIL import Image, ImageCms

    profile = picture.info.get("icc_profile") or b""
    if 0 < len(profile) <= MOST_PROFILE_BYTES:
        with suppress(ImageCms.PyCMSError, OSError, ValueError):
            own, srgb = ImageCms.ImageCmsProfile(BytesIO(profile)), ImageCms.createProfile("sRGB")
            flat = picture.convert("RGB") if picture.mode == "RGBA" else picture
            converted = ImageCms.profileToProfile(flat, own, srgb, outputMode="RGB")
            if isinstance(converted, Image.Image):
                return converted
    return picture.convert("RGB")
