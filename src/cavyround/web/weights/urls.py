"""Addresses."""

from django.urls import path

from cavyround.web.weights import animal, herd, pen

urlpatterns = [
    path("weights/", herd.herd_weights, name="weights"),
    path("weights/overview", herd.herd_overview, name="weights-overview"),
    path("animals/<uuid:animal_id>/weights", animal.animal_weights, name="animal-weights"),
    path("pens/<int:pen_id>/weights", pen.pen_weights, name="pen-weights"),
]
