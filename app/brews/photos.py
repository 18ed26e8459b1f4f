"""Photos of brews: checked to be pictures, made small, freed of what the camera noted."""

from __future__ import annotations

from io import BytesIO

from werkzeug.datastructures import FileStorage

LONGEST_SIDE_PX = 1600
MOST_PIXELS = 60_000_000
FORMATS = ("JPEG", "PNG", "WEBP", "MPO")


def small_jpeg(upload: FileStorage) -> bytes | None:
    """The upload turned into a small JPEG; None if nothing was chosen.

    Raises ValueError with a sentence for anything that is no picture or far too large.
    """
    if not upload or not upload.filename:
        return None
    from PIL import Image, ImageOps

    try:
        with Image.open(upload.stream, formats=FORMATS) as picture:
            if picture.width * picture.height > MOST_PIXELS:
                raise OverflowError
            upright = ImageOps.exif_transpose(picture).convert("RGB")
            upright.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX))
    except OverflowError:
        raise ValueError("This photo has too many pixels; 60 million is the most.") from None
    except Exception:
        raise ValueError("This is not a JPEG, PNG or WebP photo that can be read.") from None
    jpeg = BytesIO()
    upright.save(jpeg, "JPEG", quality=82, optimize=True)
    return jpeg.getvalue()
