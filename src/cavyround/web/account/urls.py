"""Addresses."""

from django.urls import path

from cavyround.web.account import views

urlpatterns = [
    path("sign-in", views.sign_in, name="sign-in"),
    path("sign-out", views.sign_out, name="sign-out"),
    path("first", views.first_account, name="first-account"),
    path("me", views.me, name="me"),
]
