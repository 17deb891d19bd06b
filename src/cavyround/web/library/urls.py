"""Addresses."""

from django.urls import path

from cavyround.web.library import views

urlpatterns = [
    path("knowledge", views.index, name="knowledge"),
    path("knowledge/check/<slug:code>", views.hold, name="knowledge-hold"),
    path("knowledge/findings/<slug:code>", views.area, name="knowledge-area"),
    path("knowledge/combinations", views.combinations, name="knowledge-combinations"),
    path("knowledge/additions", views.additions, name="knowledge-additions"),
    path("knowledge/rules/<str:rule_id>", views.rule, name="knowledge-rule"),
    path("knowledge/infections", views.infections, name="knowledge-infections"),
    path("knowledge/numbers", views.numbers, name="knowledge-numbers"),
    path("knowledge/condition", views.condition, name="knowledge-condition"),
    path("knowledge/trade", views.trade, name="knowledge-trade"),
    path("knowledge/cautions", views.cautions, name="knowledge-cautions"),
    path("knowledge/questions", views.questions, name="knowledge-questions"),
    path("knowledge/sources", views.sources, name="knowledge-sources"),
]
