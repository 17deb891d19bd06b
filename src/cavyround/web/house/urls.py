"""Addresses."""

from django.urls import path

from cavyround.web.house import (
    alone,
    between,
    births,
    expectant,
    introducing,
    labour,
    looking,
    proposing,
    rounds,
    sexes,
    taking_up,
    written,
)

urlpatterns = [
    path("house", looking.house, name="house"),
    path("house/together", between.together, name="house-together"),
    path("house/together/new", between.tie_new, name="tie-new"),
    path("house/proposal", proposing.proposal, name="house-proposal"),
    path("house/proposal/step", taking_up.take_up, name="house-proposal-step"),
    path("house/expectant", expectant.expectant, name="house-expectant"),
    path("house/litters/new", births.litter_new, name="litter-new"),
    path("house/introductions", introducing.introductions, name="house-introductions"),
    path("house/introductions/new", introducing.introduction_new, name="introduction-new"),
    path(
        "house/introductions/<uuid:introduction_id>",
        introducing.introduction_end,
        name="introduction-end",
    ),
    path("house/round", rounds.split, name="house-round"),
    path("animals/<uuid:animal_id>/alone", alone.alone_new, name="animal-alone"),
    path("house/alone/<uuid:alone_id>/end", alone.alone_end, name="alone-end"),
    path("animals/<uuid:animal_id>/labour", labour.labour_begin, name="animal-labour"),
    path("house/labours/<uuid:labour_id>", labour.labour, name="labour"),
    path("house/labours/<uuid:labour_id>/seen", labour.labour_seen, name="labour-seen"),
    path("house/labours/<uuid:labour_id>/since", labour.labour_since, name="labour-since"),
    path("house/labours/<uuid:labour_id>/over", labour.labour_over, name="labour-over"),
    path("house/labours/back/<uuid:seen_id>", labour.labour_take_back, name="labour-take-back"),
    path("house/litters/<uuid:litter_id>/pups", written.litter_pups, name="litter-pups"),
    path("animals/<uuid:animal_id>/breeding", written.written, name="animal-written"),
    path(
        "animals/<uuid:animal_id>/breeding/<str:what>/<uuid:entry_id>/back",
        written.written_back,
        name="animal-written-back",
    ),
    path("animals/<uuid:animal_id>/sexing", sexes.sexing, name="animal-sexing"),
    path("animals/<uuid:animal_id>/neutered", sexes.neutered, name="animal-neutered"),
    path("animals/<uuid:animal_id>/pups-felt", births.pups_felt, name="animal-pups-felt"),
]
