"""Questions to the vet about an animal, and the vet's answers."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from cavyround.record.models import Animal, VetQuestion
from cavyround.record.promises import answer_as_vet
from cavyround.record.promises import ask_vet as put_question
from cavyround.web.animals.fields import words_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_recorders, for_vets, person_of


class QuestionForm(OnceForm):
    """A question to the vet."""

    text = words_field(
        "Your question",
        missing="The question is missing. Write what the vet should tell you.",
        hint="The vet sees the animal's page with it: weights, findings and photos.",
    )


class AnswerForm(OnceForm):
    """The vet's answer."""

    text = words_field("Your answer", missing="The answer is missing. Write it here.")


@for_recorders
def ask_vet(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """Put a question to the vet."""
    animal = get_object_or_404(Animal, pk=animal_id)
    form = QuestionForm(sent(request), initial={"text": request.GET.get("text", "")})

    def make() -> str:
        put_question(person_of(request), animal, form.cleaned_data["text"], timezone.now())
        messages.success(request, "The question stands on this page until the vet answers.")
        return reverse("animal", args=[animal.pk])

    page = {"animal": animal, "here": "animals"}
    return fill_in(request, form, make, "web/animals/ask.html", page)


@for_vets
def answer_vet(request: HttpRequest, question_id: UUID) -> HttpResponseBase:
    """The vet answers a question; a second answer may add to the first."""
    found = VetQuestion.objects.select_related("animal", "made_by")
    question = get_object_or_404(found, pk=question_id)
    form = AnswerForm(sent(request))

    def make() -> str:
        answer_as_vet(person_of(request), question, form.cleaned_data["text"], timezone.now())
        messages.success(request, "Your answer is on the animal's page.")
        return reverse("animal", args=[question.animal_id])

    page = {"animal": question.animal, "question": question, "here": "animals"}
    return fill_in(request, form, make, "web/animals/answer.html", page)
