"""Keep photos: JPEG, PNG or HEIC in; an upright JPEG without location data out."""

import hashlib
import struct
from dataclasses import dataclass
from datetime import datetime
from io import BytesIO
from pathlib import Path
from typing import IO
from uuid import UUID

import pillow_heif
from django.conf import settings
from PIL import Image, ImageOps, UnidentifiedImageError

from cavyround.record.models import Animal, Check, Person, Photo

pillow_heif.register_heif_opener()

LARGEST_BYTES = 25 * 1024 * 1024
# Past this a picture is a trap rather than a phone's photo (phones go up to 108 megapixels).
LARGEST_PIXELS = 120_000_000
KEPT_EDGE_PX = 1800
Image.MAX_IMAGE_PIXELS = LARGEST_PIXELS
FORMATS = ("JPEG", "PNG", "HEIF", "WEBP", "MPO")
TOO_MANY_PIXELS = "This picture is too large to open. Send it in a smaller size."
# What the readers of pictures raise for a file that is none, or is cut short or damaged.
BROKEN = (
    UnidentifiedImageError,
    OSError,
    SyntaxError,
    ValueError,
    TypeError,
    LookupError,
    EOFError,
    ArithmeticError,
    struct.error,
)


class PhotoRefusedError(ValueError):
    """Why a photo was not kept and what to do, in words for the person who sent it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Snapshot:
    """A photo as it was sent."""

    file: IO[bytes]
    caption: str = ""
    id: UUID | None = None
    drawn: bool = False


def photo_path(digest: str) -> Path:
    """Where the file of a photo lies."""
    return Path(settings.PHOTO_FOLDER) / digest[:2] / f"{digest}.jpg"


def keep_photo(
    person: Person,
    animal: Animal,
    snapshot: Snapshot,
    now: datetime,
    *,
    check: Check | None = None,
) -> Photo:
    """Keep one photo. Sending the same id again changes nothing.

    Raises PhotoRefusedError for a file too large, broken or of another kind.
    """
    if snapshot.id is not None:
        known: Photo | None = Photo.objects.filter(pk=snapshot.id).first()
        if known is not None:
            return known
    image = _open(snapshot.file)
    jpeg = _as_jpeg(image)
    digest = hashlib.sha256(jpeg).hexdigest()
    path = photo_path(digest)
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        half = path.with_suffix(".part")
        half.write_bytes(jpeg)
        half.replace(path)
    photo = Photo(
        animal=animal,
        check_in=check,
        digest=digest,
        width=image.width,
        height=image.height,
        caption=snapshot.caption,
        drawn=snapshot.drawn,
        made_at=now,
        made_by=person,
        **({"id": snapshot.id} if snapshot.id else {}),
    )
    photo.save()
    return photo


def _open(file: IO[bytes]) -> Image.Image:
    file.seek(0, 2)
    size = file.tell()
    file.seek(0)
    if size > LARGEST_BYTES:
        msg = (
            f"This photo has {size / 1_048_576:.0f} MB; up to {LARGEST_BYTES // 1_048_576} MB "
            "can be kept. Send it in a smaller size; what you entered is safe."
        )
        raise PhotoRefusedError(msg)
    try:
        image = Image.open(file, formats=FORMATS)
        if image.width * image.height > LARGEST_PIXELS:
            raise PhotoRefusedError(TOO_MANY_PIXELS)
        upright = ImageOps.exif_transpose(image).convert("RGB")
    except PhotoRefusedError:
        raise
    except Image.DecompressionBombError:
        raise PhotoRefusedError(TOO_MANY_PIXELS) from None
    except BROKEN as broken:
        msg = (
            "This file is broken or is no photo (JPEG, PNG or HEIC). "
            "Take it again; what you entered is safe."
        )
        raise PhotoRefusedError(msg) from broken
    upright.thumbnail((KEPT_EDGE_PX, KEPT_EDGE_PX), Image.Resampling.LANCZOS)
    return upright


def _as_jpeg(image: Image.Image) -> bytes:
    # A new image without the old one's info: position, camera and time stay behind.
    bare = Image.new("RGB", image.size)
    bare.paste(image)
    out = BytesIO()
    bare.save(out, "JPEG", quality=85, optimize=True)
    return out.getvalue()
