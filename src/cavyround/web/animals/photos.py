"""Photos of an animal: take one in, show one, choose the one for lists."""

import hashlib
from collections.abc import Iterable
from uuid import UUID, uuid5

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from cavyround.record.animals import choose_face
from cavyround.record.models import Animal, Photo
from cavyround.record.photos import PhotoRefusedError, Snapshot, keep_photo, photo_path
from cavyround.web.animals.fields import line_field
from cavyround.web.animals.once import OnceForm, sent
from cavyround.web.gate import for_readers, for_recorders, person_of

ACCEPT = "image/jpeg,image/png,image/heic,image/heif,.heic,.heif"
FOR_A_YEAR = "private, max-age=31536000, immutable"


class PhotoForm(OnceForm):
    """A photo just taken, or one from the phone."""

    taken = forms.FileField(
        label="Take a photo",
        required=False,
        widget=forms.FileInput(attrs={"accept": ACCEPT, "capture": "environment"}),
        error_messages={"empty": "This file is empty. Take the photo again."},
    )
    chosen = forms.FileField(
        label="Or choose one",
        required=False,
        widget=forms.FileInput(attrs={"accept": ACCEPT}),
        help_text="JPEG, PNG or HEIC, up to 25 MB. Where it was taken is not kept.",
        error_messages={"empty": "This file is empty. Choose another."},
    )
    caption = line_field("What it shows", 120)

    def clean(self) -> dict[str, object]:
        """One of the two."""
        said = super().clean() or self.cleaned_data
        if not self.errors and not (said.get("taken") or said.get("chosen")):
            self.blame("taken", "There is no photo yet. Take one, or choose one.")
        return said


@for_recorders
def animal_photo(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """Take in a photo; the first one becomes the animal's face in lists."""
    animal = get_object_or_404(Animal, pk=animal_id)
    form = PhotoForm(sent(request), request.FILES or None)
    if form.is_bound and form.is_valid() and _keep(request, animal, form):
        return redirect("animal", animal.pk)
    page = {"animal": animal, "form": form, "here": "animals"}
    status = 422 if form.is_bound else 200
    return render(request, "web/animals/photo.html", page, status=status)


def _keep(request: HttpRequest, animal: Animal, form: PhotoForm) -> bool:
    field = "taken" if form.cleaned_data["taken"] else "chosen"
    file, caption = form.cleaned_data[field], form.cleaned_data["caption"]
    shot = Snapshot(file=file, caption=caption, id=_id_of(form.sending, file.chunks(), caption))
    try:
        photo = keep_photo(person_of(request), animal, shot, timezone.now())
    except PhotoRefusedError as refused:
        form.blame(field, str(refused))
        return False
    if animal.face_id is None and photo.animal_id == animal.pk:
        choose_face(animal, photo)
    messages.success(request, "The photo is kept.")
    return True


def _id_of(sending: UUID, content: Iterable[bytes], caption: str) -> UUID:
    """The same form with the same photo is one photo; with another it is another."""
    said = hashlib.sha256(caption.encode())
    for part in content:
        said.update(part)
    return uuid5(sending, said.hexdigest())


@for_recorders
@require_POST
def animal_face(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """Choose the photo shown in lists."""
    animal = get_object_or_404(Animal, pk=animal_id)
    wanted = forms.UUIDField(required=False)
    try:
        photo_id = wanted.clean(request.POST.get("photo", ""))
    except forms.ValidationError:
        photo_id = None
    photo = get_object_or_404(Photo, pk=photo_id, animal=animal)
    choose_face(animal, photo)
    messages.success(request, f"This photo now stands for {animal} in lists.")
    return redirect("animal", animal.pk)


@for_readers
def photo(request: HttpRequest, digest: str) -> HttpResponseBase:
    """A photo's file: named by its content, so a browser may keep it."""
    path = photo_path(digest)
    if not path.is_file():
        raise Http404(digest)
    answer = HttpResponse(path.read_bytes(), content_type="image/jpeg")
    answer["Cache-Control"] = FOR_A_YEAR
    answer["X-Content-Type-Options"] = "nosniff"
    return answer
