"""The record as a Django application."""

from django.apps import AppConfig


class RecordConfig(AppConfig):
    """Models and the only code that writes them."""

    name = "cavyround.record"
    label = "record"
    default_auto_field = "django.db.models.BigAutoField"
    verbose_name = "Record"
