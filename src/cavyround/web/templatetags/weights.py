"""A filter for sentences with many numbers."""

import re

from django import template

register = template.Library()
UNIT = re.compile(r"(\d) (%|g|oz|lb)\b|(\d) (%)")


@register.filter
def unbroken(words: str) -> str:
    """The same words, with no line broken between a number and its unit."""
    return UNIT.sub(lambda found: "\u00a0".join(part for part in found.groups() if part), words)
