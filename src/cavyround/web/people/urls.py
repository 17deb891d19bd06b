"""Addresses."""

from django.urls import path

from cavyround.web.people import views

urlpatterns = [
    path("people", views.people, name="people"),
    path("people/new", views.new_person, name="new-person"),
    path("people/vet-numbers", views.vet_numbers, name="vet-numbers"),
    path("people/<int:pk>", views.person, name="person"),
    path("people/<int:pk>/role", views.person_role, name="person-role"),
    path("people/<int:pk>/password", views.person_password, name="person-password"),
    path("people/<int:pk>/let-go", views.person_let_go, name="person-let-go"),
    path("people/<int:pk>/back-in", views.person_back_in, name="person-back-in"),
]
