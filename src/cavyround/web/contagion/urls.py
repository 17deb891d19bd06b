"""Addresses of quarantine, outbreaks, shared things and mended stays."""

from django.urls import path

from cavyround.web.contagion import (
    entries,
    mending,
    opening,
    outbreaks,
    papers,
    quarantine,
    sharing,
)

ONE = "outbreaks/<uuid:outbreak_id>"
ANIMAL = "animals/<uuid:animal_id>"
urlpatterns = [
    path("apart", quarantine.quarantine, name="quarantine"),
    path(f"{ANIMAL}/quarantine", quarantine.quarantine_set, name="quarantine-set"),
    path(f"{ANIMAL}/quarantine/end", quarantine.quarantine_end, name="quarantine-end"),
    path("apart/sheet", papers.quarantine_paper, name="quarantine-paper"),
    path("outbreaks", outbreaks.outbreaks, name="outbreaks"),
    path("outbreaks/new", opening.outbreak_new, name="outbreak-new"),
    path(ONE, outbreaks.outbreak, name="outbreak"),
    path(f"{ONE}/sheet", papers.outbreak_paper, name="outbreak-paper"),
    path(f"{ONE}/case", entries.outbreak_case, name="outbreak-case"),
    path(f"{ONE}/done", entries.outbreak_said, name="outbreak-said"),
    path(f"{ONE}/close", entries.outbreak_close, name="outbreak-close"),
    path("shared/new", sharing.shared_new, name="shared-new"),
    path("pens/<int:pen_id>/cleaned", sharing.pen_cleaned, name="pen-cleaned"),
    path(f"{ANIMAL}/stays", mending.animal_stays, name="animal-stays"),
    path(f"{ANIMAL}/stays/new", mending.move_earlier, name="move-earlier"),
    path("moves/<uuid:move_id>/mend", mending.move_correct, name="move-correct"),
]
