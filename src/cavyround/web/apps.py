"""The pages as a Django application."""

from django.apps import AppConfig


class WebConfig(AppConfig):
    """Views, templates and static files."""

    name = "cavyround.web"
    label = "web"
    verbose_name = "Pages"
