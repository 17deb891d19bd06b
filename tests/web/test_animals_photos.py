"""Photos: taken in from a phone, turned upright, without the place they were taken at."""

from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from PIL import Image
from pytest_django import Settings

from cavyround.record.models import Animal, Person, Photo
from cavyround.record.models.entries import new_id
from cavyround.record.photos import photo_path
from tests.web.animals_made import a_picture, an_animal
from tests.web.conftest import SignedIn

TURNED_RIGHT = 6  # EXIF: the top of the picture lies at its right
ORIENTATION, GPS, GPS_LATITUDE = 0x0112, 0x8825, 2


@pytest.fixture(autouse=True)
def own_folder(settings: Settings, tmp_path: Path) -> None:
    settings.PHOTO_FOLDER = tmp_path / "photos"


@pytest.fixture
def animal(carer: Person) -> Animal:
    return an_animal(carer)


@pytest.fixture
def client(carer: Person, signed_in: SignedIn) -> Client:
    return signed_in(carer)


def send(client: Client, animal: Animal, file: Any, **more: Any) -> Any:
    form = {"once": str(new_id()), "taken": file} | more
    return client.post(reverse("animal-photo", args=[animal.pk]), form)


def with_place() -> Image.Exif:
    exif = Image.Exif()
    exif[ORIENTATION] = TURNED_RIGHT
    exif.get_ifd(GPS)[GPS_LATITUDE] = (53.0, 4.0, 30.0)
    return exif


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "HEIF"])
def test_photos_as_phones_make_them_are_kept(client: Client, animal: Animal, kind: str) -> None:
    assert send(client, animal, a_picture(kind), caption="left eye").status_code == 302
    photo = Photo.objects.get()
    answer = client.get(reverse("photo", args=[photo.digest]))
    assert answer["Content-Type"] == "image/jpeg"
    assert "immutable" in answer["Cache-Control"]
    assert Image.open(BytesIO(answer.content)).format == "JPEG"
    assert "left eye" in client.get(reverse("animal", args=[animal.pk])).content.decode()


@pytest.mark.parametrize("kind", ["JPEG", "HEIF"])
def test_a_photo_is_turned_upright_and_forgets_where_it_was_taken(
    client: Client, animal: Animal, kind: str
) -> None:
    sent = a_picture(kind, exif=with_place().tobytes())
    with Image.open(sent) as before:
        assert before.getexif().get_ifd(GPS)
    sent.seek(0)
    send(client, animal, sent)
    with Image.open(photo_path(Photo.objects.get().digest)) as kept:
        assert not kept.getexif()
        assert kept.size == (48, 64)
        red, _, blue = kept.getpixel((24, 8))  # type: ignore[misc]
        assert red > 200 > blue


def test_the_first_photo_stands_for_the_animal_and_another_can_be_chosen(
    client: Client, animal: Animal
) -> None:
    send(client, animal, a_picture())
    first = Photo.objects.get()
    send(client, animal, a_picture(size=(80, 60)))
    animal.refresh_from_db()
    assert animal.face == first
    second = Photo.objects.exclude(pk=first.pk).get()
    client.post(reverse("animal-face", args=[animal.pk]), {"photo": second.pk})
    animal.refresh_from_db()
    assert animal.face == second


@pytest.mark.parametrize("photo", ["", "no id", "01890000-0000-7000-8000-000000000000"])
def test_only_its_own_photo_can_stand_for_an_animal(
    client: Client, animal: Animal, photo: str
) -> None:
    answer = client.post(reverse("animal-face", args=[animal.pk]), {"photo": photo})
    assert answer.status_code == 404


@pytest.mark.parametrize(
    ("file", "words"),
    [
        (SimpleUploadedFile("big.jpg", b"\xff\xd8" + b"x" * 40 * 1024 * 1024), "40 MB"),
        (SimpleUploadedFile("broken.jpg", a_picture().read()[:300]), "broken or is no photo"),
        (SimpleUploadedFile("list.pdf", b"%PDF-1.7 no picture"), "broken or is no photo"),
        (SimpleUploadedFile("empty.jpg", b""), "empty"),
        ("", "There is no photo yet"),
    ],
    ids=["40 MB", "cut short", "no picture", "empty", "none"],
)
def test_a_photo_that_cannot_be_kept_is_refused_with_words(
    client: Client, animal: Animal, file: Any, words: str
) -> None:
    answer = send(client, animal, file, caption="left eye")
    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in page
    assert 'value="left eye"' in page
    assert not Photo.objects.exists()


def test_a_photo_sent_twice_is_one(client: Client, animal: Animal) -> None:
    once = str(new_id())
    for _ in range(2):
        assert send(client, animal, a_picture(), once=once).status_code == 302
    assert Photo.objects.count() == 1


def test_another_photo_or_caption_sent_with_the_same_form_is_not_dropped(
    client: Client, animal: Animal
) -> None:
    once = str(new_id())
    for _ in range(2):
        send(client, animal, a_picture(), once=once)
        send(client, animal, a_picture(size=(80, 60)), once=once)
        send(client, animal, a_picture(size=(80, 60)), once=once, caption="left eye")
    kept = Photo.objects.order_by("made_at").values_list("width", "caption")
    assert list(kept) == [(64, ""), (80, ""), (80, "left eye")]


def test_photos_are_for_those_who_are_signed_in(client: Client, animal: Animal) -> None:
    send(client, animal, a_picture())
    answer = Client().get(reverse("photo", args=[Photo.objects.get().digest]))
    assert answer.status_code == 302
    assert answer["Location"].startswith(reverse("sign-in"))


def test_a_photo_nobody_has_is_not_found(client: Client, animal: Animal) -> None:
    assert client.get(reverse("photo", args=["0" * 64])).status_code == 404
