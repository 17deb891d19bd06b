"""Addresses of the animals, their pens, photos and checks."""

from django.urls import path, re_path

from cavyround.web.animals import (
    arriving,
    correcting,
    history,
    leaving,
    listing,
    marks,
    moving,
    pens,
    photos,
    promises,
    questions,
    stating,
    story,
)

ONE = "animals/<uuid:animal_id>"
urlpatterns = [
    path("animals", listing.animals, name="animals"),
    path("animals/new", arriving.new_animal, name="new-animal"),
    path(ONE, story.animal, name="animal"),
    path(f"{ONE}/state", stating.animal_state, name="animal-state"),
    path(f"{ONE}/depart", leaving.animal_depart, name="animal-depart"),
    path(f"{ONE}/return", arriving.animal_return, name="animal-return"),
    path(f"{ONE}/move", moving.animal_move, name="animal-move"),
    path(f"{ONE}/face", photos.animal_face, name="animal-face"),
    path(f"{ONE}/photo", photos.animal_photo, name="animal-photo"),
    path(f"{ONE}/marks/new", marks.standing_mark, name="standing-mark"),
    path("marks/<uuid:mark_id>/end", marks.standing_mark_end, name="standing-mark-end"),
    path(f"{ONE}/follow-ups/new", promises.follow_up_add, name="follow-up-add"),
    path("follow-ups/<uuid:follow_up_id>", promises.follow_up_settle, name="follow-up-settle"),
    path(f"{ONE}/ask-vet", questions.ask_vet, name="ask-vet"),
    path("questions/<uuid:question_id>", questions.answer_vet, name="answer-vet"),
    re_path(r"^photos/(?P<digest>[0-9a-f]{64})\.jpg$", photos.photo, name="photo"),
    path("checks/<uuid:check_id>", history.check_history, name="check-history"),
    path(
        "checks/<uuid:check_id>/entries/<uuid:entry_id>/correct",
        correcting.correct_entry,
        name="correct-entry",
    ),
    path("pens", pens.pens, name="pens"),
]
