"""Addresses."""

from django.urls import path

from cavyround.web.today import views

urlpatterns = [
    path("", views.today, name="today"),
    path("more", views.more, name="more"),
]
