"""Addresses of the scale."""

from django.urls import path

from cavyround.web.scale_trial import views

urlpatterns = [
    path("weigh-in/scale/", views.trial, name="scale-trial"),
    path("weigh-in/scale/settings.json", views.settings_json, name="scale-settings"),
]
