"""The pages as a Django application."""

from django.apps import AppConfig


class WebConfig(AppConfig):
    """Views, templates and static files."""

    name = "cavyround.web"
    label = "web"
    verbose_name = "Pages"

    def ready(self) -> None:
        """From now on what the weights say is kept up with the record."""
        from cavyround.advice import weights  # noqa: PLC0415 - models are only now there

        weights.keep_up()
