"""Addresses of the weigh-in, and of weights from a notebook or a file."""

from django.urls import path

from cavyround.web.weighing import pasting, pens, saying, shell

urlpatterns = [
    path("weigh-in/", shell.weigh_in, name="weigh-in"),
    path("weigh-in/pens.json", pens.pens_json, name="weigh-in-pens"),
    path("weigh-in/said", saying.said, name="weigh-in-said"),
    path("weigh-in/paste/", pasting.paste, name="weigh-in-paste"),
]
