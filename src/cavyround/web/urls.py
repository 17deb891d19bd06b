"""All addresses, by subject."""

from django.urls import include, path

urlpatterns = [
    path("", include("cavyround.web.account.urls")),
    path("", include("cavyround.web.today.urls")),
    path("", include("cavyround.web.checking.urls")),
    path("", include("cavyround.web.weighing.urls")),
    path("", include("cavyround.web.doseround.urls")),
    path("", include("cavyround.web.animals.urls")),
    path("", include("cavyround.web.house.urls")),
    path("", include("cavyround.web.contagion.urls")),
    path("", include("cavyround.web.weights.urls")),
    path("", include("cavyround.web.medicines.urls")),
    path("", include("cavyround.web.people.urls")),
    path("", include("cavyround.web.library.urls")),
    path("", include("cavyround.web.scale_trial.urls")),
]
handler400 = "cavyround.web.gate.bad_request"
handler403 = "cavyround.web.gate.not_allowed"
handler404 = "cavyround.web.gate.not_found"
handler500 = "cavyround.web.gate.broken"
