"""What an animal does not bear: noted, and ended with a reason."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from cavyround.record.allergies import end_allergy, note_allergy
from cavyround.record.models import Allergy, Animal
from cavyround.web.animals.fields import line_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_orders, person_of
from cavyround.web.medicines.course_pages import StopForm
from cavyround.web.medicines.order_fields import medicine_names


class AllergyForm(OnceForm):
    """What it does not bear."""

    name = line_field(
        "Medicine, or kind of medicine",
        80,
        missing="Say which medicine, or which kind.",
        hint="enrofloxacin, or a kind as opioid",
    )
    note = line_field("What happened, and who says so", 200)


@for_orders
def allergy_add(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """Note that an animal does not bear a medicine."""
    animal = get_object_or_404(Animal, pk=animal_id)
    form = AllergyForm(sent(request))
    form.fields["name"].widget.attrs |= {"list": "medicines", "autocomplete": "off"}

    def make() -> str:
        said = form.cleaned_data
        note_allergy(
            person_of(request),
            animal,
            said["name"],
            timezone.now(),
            note=said["note"],
            id=form.sending,
        )
        messages.success(request, f"Noted: {animal} does not bear {said['name']}.")
        return reverse("animal", args=[animal.pk])

    page = {"animal": animal, "here": "animals", "medicines": medicine_names()}
    return fill_in(request, form, make, "web/medicines/allergy.html", page)


@for_orders
def allergy_end(request: HttpRequest, allergy_id: UUID) -> HttpResponseBase:
    """A note of an allergy no longer holds."""
    one = get_object_or_404(Allergy.objects.select_related("animal"), pk=allergy_id)
    form = StopForm(sent(request))

    def make() -> str:
        if not one.ends.exists():
            end_allergy(person_of(request), one, form.cleaned_data["why"], timezone.now())
        messages.success(request, "The note no longer holds; it stays readable.")
        return reverse("animal", args=[one.animal_id])

    page = {"animal": one.animal, "allergy": one, "here": "animals"}
    return fill_in(request, form, make, "web/medicines/allergy_end.html", page)
