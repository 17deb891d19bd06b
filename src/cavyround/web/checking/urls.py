"""Addresses of the check at the table and the advice after it."""

from django.urls import path

from cavyround.web.checking import acting, advising, round_of, saying, shell, taking

ONE = "advice/<uuid:given_id>"
urlpatterns = [
    path("check", shell.check, name="check"),
    path("check/worker.js", shell.worker, name="check-worker"),
    path("check/round.json", round_of.round_json, name="round"),
    path("check/touches", taking.touches, name="touches"),
    path("check/said", saying.said, name="said"),
    path("check/photos", taking.photos, name="check-photos"),
    path("check/<uuid:check_id>/advise", advising.advise_check, name="advise"),
    path(ONE, advising.advice, name="advice"),
    path(f"{ONE}/answer", acting.answer, name="advice-answer"),
    path(f"{ONE}/promise", acting.promise_again, name="advice-promise"),
    path(f"{ONE}/settle", acting.settle_open, name="advice-settle"),
    path(f"{ONE}/ask", acting.ask, name="advice-ask"),
    path(f"{ONE}/note", acting.note, name="advice-note"),
]
