"""A sent brew form checked as a whole: its fields, its moment, its photo, which is made small
and freed of what the camera noted."""

from datetime import datetime
from io import BytesIO

from sqlalchemy.orm import Session
from werkzeug.datastructures import FileStorage

from app.brews.forms import BrewForm
from app.brews.picks import all_there
from app.models import Brew
from app.web import clock

LONGEST_SIDE_PX = 1600
MOST_PIXELS = 60_000_000
FORMATS = ("JPEG", "PNG", "WEBP", "MPO")


def check(
    session: Session, form: BrewForm, zone: str, brew: Brew | None = None
) -> tuple[datetime | None, bytes | None]:
    """When it was brewed, and the photo, of a valid form; no moment where the form has errors.

    `brew` is the one being changed.
    """
    before, jpeg = brew.brewed_at if brew else None, None
    valid = form.validate() & all_there(session, form, brew)
    moment = before or clock.now()
    if form.brewed_at.data is not None:
        try:
            moment = clock.from_wall(form.brewed_at.data, zone, before)
        except ValueError as error:
            form.brewed_at.errors, valid = [*form.brewed_at.errors, str(error)], False
    try:
        jpeg = small_jpeg(form.photo.data)
    except ValueError as error:
        form.photo.errors, valid = [*form.photo.errors, str(error)], False
    return (moment if valid else None), jpeg


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
