"""Addresses of the dose round."""

from django.urls import path

from cavyround.web.doseround import round_of, shell, taking

urlpatterns = [
    path("dose-round/", shell.dose_round, name="dose-round"),
    path("dose-round/round.json", round_of.round_json, name="dose-round-json"),
    path("dose-round/entries", taking.entries, name="dose-round-entries"),
]
