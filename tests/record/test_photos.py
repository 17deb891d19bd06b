"""Photos: upright, scaled, without a place, kept once; a bad file is refused in words."""

import os
import stat
import struct
import zlib
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from io import BytesIO
from pathlib import Path
from threading import Barrier
from typing import IO, Any

import pytest
from PIL import Image
from pytest_django import Settings

from cavyround.record import photos
from cavyround.record.models import Animal, Person, Photo
from cavyround.record.models.entries import new_id
from cavyround.record.photos import (
    KEPT_EDGE_PX,
    LARGEST_BYTES,
    PhotoRefusedError,
    Snapshot,
    keep_photo,
    photo_path,
)
from tests.builders import NOW

ORIENTATION, MAKER, GPS = 0x0112, 0x010F, 0x8825
TURNED = 6  # the phone was held on its side
RED, BLUE = (200, 30, 30), (30, 30, 200)


def a_picture(width: int = 80, height: int = 40) -> Image.Image:
    """Red on its left half, blue on its right."""
    picture = Image.new("RGB", (width, height), RED)
    picture.paste(BLUE, (width // 2, 0, width, height))
    return picture


def a_file(kind: str, picture: Image.Image | None = None, *, turned: bool = False) -> BytesIO:
    exif = Image.Exif()
    exif[MAKER] = "a phone"
    exif.get_ifd(GPS).update({1: "N", 2: (51.0, 30.0, 0.0), 3: "W", 4: (0.0, 7.0, 0.0)})
    if turned:
        exif[ORIENTATION] = TURNED
    file = BytesIO()
    (picture or a_picture()).save(file, kind, exif=exif)
    file.seek(0)
    return file


def refused(person: Person, animal: Animal, file: BytesIO) -> str:
    with pytest.raises(PhotoRefusedError) as why:
        keep_photo(person, animal, Snapshot(file=file), NOW)
    assert Photo.objects.count() == 0
    return str(why.value)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "HEIF", "WEBP"])
def test_what_phones_make_is_kept_as_a_jpeg_without_place_or_camera(
    kind: str, carer: Person, sow: Animal
) -> None:
    sent = a_file(kind)
    assert Image.open(sent).getexif().get_ifd(GPS)
    photo = keep_photo(carer, sow, Snapshot(file=sent, caption="left eye"), NOW)
    assert (photo.width, photo.height, photo.caption) == (80, 40, "left eye")
    with Image.open(photo_path(photo.digest)) as kept:
        assert kept.format == "JPEG"
        assert dict(kept.getexif()) == {}
        assert not {"exif", "xmp", "icc_profile", "comment"} & set(kept.info)
    assert b"a phone" not in photo_path(photo.digest).read_bytes()


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_photo_taken_sideways_is_turned_upright(kind: str, carer: Person, sow: Animal) -> None:
    photo = keep_photo(carer, sow, Snapshot(file=a_file(kind, turned=True)), NOW)
    assert (photo.width, photo.height) == (40, 80)
    with Image.open(photo_path(photo.digest)) as kept:
        top, bottom = kept.getpixel((20, 10)), kept.getpixel((20, 70))
    assert isinstance(top, tuple)
    assert isinstance(bottom, tuple)
    assert top[0] > top[2]
    assert bottom[2] > bottom[0]


def test_a_large_photo_is_made_smaller_and_keeps_its_shape(carer: Person, sow: Animal) -> None:
    photo = keep_photo(carer, sow, Snapshot(file=a_file("JPEG", a_picture(3600, 1200))), NOW)
    assert (photo.width, photo.height) == (KEPT_EDGE_PX, KEPT_EDGE_PX // 3)


def test_a_photo_over_25_mb_is_refused_with_its_size(carer: Person, sow: Animal) -> None:
    file = a_file("JPEG")
    file.seek(LARGEST_BYTES + 15 * 1024 * 1024)
    file.write(b"x")
    words = refused(carer, sow, file)
    assert "40 MB; up to 25 MB can be kept" in words
    assert "what you entered is safe" in words


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "HEIF", "WEBP"])
@pytest.mark.parametrize("share", [0.02, 0.5, 0.9])
def test_a_photo_cut_short_is_refused(kind: str, share: float, carer: Person, sow: Animal) -> None:
    noise = Image.effect_noise((120, 90), 80).convert("RGB")
    whole = a_file(kind, noise).getvalue()
    assert "broken or is no photo" in refused(carer, sow, BytesIO(whole[: int(len(whole) * share)]))


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"a shopping list",
        b"\xff\xd8\xff\xe0",
        b"\x89PNG\r\n\x1a\n" + b"\0" * 40,
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"GIF89a\x01\x00\x01\x00\x80\x00\x00\x00\x00\x00\xff\xff\xff,\0\0\0\0\x01\0\x01\0\0\x02\x02D\x01\0;",
    ],
)
def test_what_is_no_photo_is_refused(content: bytes, carer: Person, sow: Animal) -> None:
    assert "Take it again" in refused(carer, sow, BytesIO(content))


def test_a_small_file_that_would_swell_without_end_is_refused(carer: Person, sow: Animal) -> None:
    header = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    chunk = b"IHDR" + header
    checked = struct.pack(">I", len(header)) + chunk + struct.pack(">I", zlib.crc32(chunk))
    swelling = b"\x89PNG\r\n\x1a\n" + checked + b"\0\0\0\0IDAT\x35\xaf\x06\x1e"
    assert "too large to open" in refused(carer, sow, BytesIO(swelling))


@pytest.mark.parametrize("fault", [RuntimeError("Metadata"), MemoryError()])
def test_whatever_the_reader_of_a_damaged_picture_raises_is_refused_in_words(
    carer: Person, sow: Animal, monkeypatch: pytest.MonkeyPatch, fault: Exception
) -> None:
    def damaged(*_: object, **__: object) -> None:
        raise fault

    monkeypatch.setattr(Image.Image, "thumbnail", damaged)
    words = refused(carer, sow, a_file("HEIF"))
    assert ("too large" if isinstance(fault, MemoryError) else "broken") in words


def test_a_heic_damaged_anywhere_is_kept_or_refused_in_words(carer: Person, sow: Animal) -> None:
    whole = a_file("HEIF", Image.effect_noise((120, 90), 80).convert("RGB")).getvalue()
    for place in range(0, min(len(whole), 900), 7):
        bad = bytearray(whole)
        bad[place : place + 4] = b"\xff\x00\x7f\x01"
        with suppress(PhotoRefusedError):
            keep_photo(carer, sow, Snapshot(file=BytesIO(bytes(bad))), NOW)


def test_one_picture_is_opened_at_a_time(
    carer: Person, sow: Animal, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = photos._open
    seen = []

    def watched(file: IO[bytes]) -> Image.Image:
        seen.append(photos.ONE_AT_A_TIME.locked())
        return opened(file)

    monkeypatch.setattr(photos, "_open", watched)
    keep_photo(carer, sow, Snapshot(file=a_file("JPEG")), NOW)
    refused_first = BytesIO(b"a shopping list")
    with pytest.raises(PhotoRefusedError):
        keep_photo(carer, sow, Snapshot(file=refused_first), NOW)
    assert seen == [True, True]
    assert not photos.ONE_AT_A_TIME.locked()


def test_a_large_jpeg_is_never_held_in_its_full_size(
    carer: Person, sow: Animal, monkeypatch: pytest.MonkeyPatch
) -> None:
    held = []
    made_small = Image.Image.thumbnail

    def watched(image: Image.Image, *given: Any) -> None:
        held.append(image.size)
        made_small(image, *given)

    monkeypatch.setattr(Image.Image, "thumbnail", watched)
    large = a_file("JPEG", a_picture(8000, 6000), turned=True)
    photo = keep_photo(carer, sow, Snapshot(file=large), NOW)
    assert held == [(2000, 1500)]
    assert (photo.width, photo.height) == (1350, 1800)


@pytest.mark.parametrize("mode", ["L", "P", "1", "RGBA", "LA", "I;16", "CMYK"])
def test_a_picture_of_any_colours_is_kept(carer: Person, sow: Animal, mode: str) -> None:
    kind = "JPEG" if mode == "CMYK" else "PNG"
    file = BytesIO()
    plain = Image.effect_noise((2400, 900), 60)
    (plain if mode == "I;16" else plain.convert("RGB")).convert(mode).save(file, kind)
    file.seek(0)
    photo = keep_photo(carer, sow, Snapshot(file=file), NOW)
    assert (photo.width, photo.height) == (1800, 675)
    with Image.open(photo_path(photo.digest)) as kept:
        assert kept.mode == "RGB"


def test_sending_a_photo_twice_keeps_it_once(carer: Person, sow: Animal) -> None:
    sent = new_id()
    first = keep_photo(carer, sow, Snapshot(file=a_file("JPEG"), id=sent), NOW)
    again = keep_photo(carer, sow, Snapshot(file=BytesIO(b"cut"), id=sent), NOW)
    assert first == again
    assert Photo.objects.count() == 1


def test_the_same_picture_sent_as_two_photos_is_one_file(
    carer: Person, sow: Animal, settings: Settings
) -> None:
    for _ in range(2):
        keep_photo(carer, sow, Snapshot(file=a_file("PNG")), NOW)
    files = [path for path in Path(settings.PHOTO_FOLDER).rglob("*") if path.is_file()]
    assert Photo.objects.count() == 2
    assert [path.suffix for path in files] == [".jpg"]


def test_a_refused_photo_leaves_no_file(carer: Person, sow: Animal, settings: Settings) -> None:
    refused(carer, sow, BytesIO(b"a shopping list"))
    assert not Path(settings.PHOTO_FOLDER).exists()


def test_a_photo_written_four_times_at_once_is_one_whole_file(tmp_path: Path) -> None:
    path, picture = tmp_path / "ab" / "abc.jpg", a_file("JPEG", a_picture(800, 600)).getvalue()
    together = Barrier(4)

    def write(_number: int) -> None:
        together.wait()
        photos._write(path, picture)

    with ThreadPoolExecutor(4) as phones:
        list(phones.map(write, range(4)))
    assert path.read_bytes() == picture
    assert list(path.parent.iterdir()) == [path]


def test_when_two_have_passed_the_first_look_the_second_gets_the_row_of_the_first(
    carer: Person, sow: Animal, monkeypatch: pytest.MonkeyPatch
) -> None:
    sent = new_id()
    first = keep_photo(carer, sow, Snapshot(file=a_file("JPEG"), id=sent), NOW)
    looked = iter([Photo.objects.none(), Photo.objects.filter(pk=sent)])
    monkeypatch.setattr(Photo.objects, "filter", lambda **_: next(looked))
    assert keep_photo(carer, sow, Snapshot(file=a_file("JPEG"), id=sent), NOW) == first


def test_a_photo_is_on_the_disk_before_its_row_says_so(
    carer: Person, sow: Animal, monkeypatch: pytest.MonkeyPatch
) -> None:
    done: list[str] = []

    def synced(handle: int) -> None:
        assert not Photo.objects.exists()
        done.append("folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file")

    monkeypatch.setattr(os, "fsync", synced)
    photo = keep_photo(carer, sow, Snapshot(file=a_file("JPEG")), NOW)
    assert done[-2:] == ["file", "folder"]
    assert stat.S_IMODE(photo_path(photo.digest).stat().st_mode) == 0o644
