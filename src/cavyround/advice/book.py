"""The knowledge in use, read once for the life of the process."""

from functools import lru_cache
from pathlib import Path

from django.conf import settings

from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.loading import load_knowledge


@lru_cache(maxsize=1)
def book() -> Knowledge:
    """The knowledge with the rescue's own vet's override, if one was told at the start."""
    override = Path(settings.OVERRIDE_FILE) if settings.OVERRIDE_FILE else None
    return load_knowledge(override=override)
