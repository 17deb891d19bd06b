"""From a specification to SVG that takes the colours of the page it is set into."""

import json
import re
from functools import lru_cache
from typing import Any

import vl_convert
from django.utils.html import escape
from django.utils.safestring import SafeString


def as_svg(specification: dict[str, Any], words: str, css: str = "plot") -> SafeString:
    """One picture with one name, ``words``; its own text is escaped by the renderer."""
    svg = _drawn(json.dumps(specification))
    svg = re.sub(r' (?:role|aria-[a-z]+)="[^"]*"', "", svg)
    box = re.search(r'viewBox="[^"]*"', svg)
    label = f'role="img" aria-label="{escape(words)}"'
    opening = f'<svg class="{css}" {label} {box.group() if box else ""}>'
    return SafeString(re.sub(r"<svg[^>]*>", lambda _: opening, svg, count=1))


@lru_cache(maxsize=64)
def _drawn(specification: str) -> str:
    """Drawing takes some 40 ms, and the same specification is always the same picture."""
    return str(vl_convert.vegalite_to_svg(specification))
