"""Keep photos: JPEG, PNG or HEIC in; an upright JPEG without location data out."""

import hashlib
import os
import struct
from dataclasses import dataclass
from datetime import datetime
from io import BytesIO
from math import ceil
from pathlib import Path
from tempfile import NamedTemporaryFile
from threading import Lock
from typing import IO
from uuid import UUID

import pillow_heif
from django.conf import settings
from django.db import IntegrityError, transaction
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
# An opened picture takes up to 360 MB: the machine of a rescue opens one at a time.
ONE_AT_A_TIME = Lock()
# What the readers of pictures raise for a file that is none, or is cut short or damaged; of a
# damaged HEIC some faults come as a bare RuntimeError.
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
    RuntimeError,
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
    with ONE_AT_A_TIME:
        image = _open(snapshot.file)
        jpeg = _as_jpeg(image)
    digest = hashlib.sha256(jpeg).hexdigest()
    _write(photo_path(digest), jpeg)
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
    try:
        with transaction.atomic():
            photo.save()
    except IntegrityError:
        # The same photo came several times at once: the first of them is the one that is kept.
        first: Photo | None = Photo.objects.filter(pk=photo.pk).first()
        if first is None:
            raise
        return first
    return photo


def _write(path: Path, content: bytes) -> None:
    """Have the file on the disk, name and all, before anything says that it is kept."""
    if path.exists():
        return
    for folder in (path.parent.parent, path.parent):
        if not folder.exists():
            folder.mkdir(parents=True, exist_ok=True)
            _to_disk(folder.parent)
    # Each sending has a part file of its own; whichever is put in place last holds the same.
    with NamedTemporaryFile(dir=path.parent, suffix=".part", delete=False) as half:
        half.write(content)
        half.flush()
        os.fsync(half.fileno())
    Path(half.name).chmod(0o644)
    Path(half.name).replace(path)
    _to_disk(path.parent)


def _to_disk(folder: Path) -> None:
    """Have a folder's names on the disk; a system that cannot open folders does so by itself."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


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
        return _small_and_upright(image)
    except PhotoRefusedError:
        raise
    except (Image.DecompressionBombError, MemoryError):
        raise PhotoRefusedError(TOO_MANY_PIXELS) from None
    except BROKEN as broken:
        msg = (
            "This file is broken or is no photo (JPEG, PNG or HEIC). "
            "Take it again; what you entered is safe."
        )
        raise PhotoRefusedError(msg) from broken


def _small_and_upright(image: Image.Image) -> Image.Image:
    """Made small before anything else, so that no second picture of full size is ever held."""
    share = KEPT_EDGE_PX / max(image.size)
    if share < 1:
        # A JPEG is then read at a half, a quarter or an eighth at once; others take no notice.
        image.draft("RGB", (ceil(image.width * share), ceil(image.height * share)))
    if image.mode not in ("RGB", "L"):
        image = image.convert("RGB")
    image.thumbnail((KEPT_EDGE_PX, KEPT_EDGE_PX), Image.Resampling.LANCZOS)
    return ImageOps.exif_transpose(image).convert("RGB")


def _as_jpeg(image: Image.Image) -> bytes:
    # A new image without the old one's info: position, camera and time stay behind.
    bare = Image.new("RGB", image.size)
    bare.paste(image)
    out = BytesIO()
    bare.save(out, "JPEG", quality=85, optimize=True)
    return out.getvalue()
