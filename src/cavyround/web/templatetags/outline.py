"""The drawings of the body from above and below, set into a page so that they take its colours."""

import re
from functools import cache
from pathlib import Path

from django import template
from django.contrib.staticfiles import finders
from django.utils.safestring import SafeString

register = template.Library()


@register.simple_tag
@cache
def drawing(view: str) -> SafeString:
    """The lines of the body seen from ``above`` or ``below``; our own file, so safe as it is."""
    found = finders.find(f"web/outline/{view}.svg")
    if not isinstance(found, str):
        msg = f"no drawing of the body from {view}"
        raise FileNotFoundError(msg)
    whole = Path(found).read_text(encoding="utf-8")
    return SafeString(re.sub(r"</?svg[^>]*>", "", whole).strip())
