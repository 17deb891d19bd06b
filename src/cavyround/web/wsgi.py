"""The web application for the serving process."""

import gc
import os

from django.core.wsgi import get_wsgi_application
from django.urls import get_resolver

from cavyround.advice.book import book
from cavyround.engines.spoken import read_note

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "cavyround.web.settings")
application = get_wsgi_application()


def _set_aside() -> None:
    """Read what stays for the life of the process, and keep it from the looking for rubbish.

    The knowledge is some hundred thousand small values: looked through again and again for
    what may be thrown away, they would halt a page in ten for a tenth of a second.
    """
    # The words of a note are grown into a tree at the first reading, which takes a second or two:
    # nobody with an animal in the hand waits for that.
    read_note("", book=book())
    _ = get_resolver().url_patterns
    gc.collect()
    gc.freeze()


_set_aside()
