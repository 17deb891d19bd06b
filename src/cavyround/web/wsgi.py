"""The web application for the serving process."""

import gc
import os
from threading import Timer

from django.core.wsgi import get_wsgi_application
from django.urls import get_resolver

from cavyround.advice.book import book
from cavyround.engines.spoken import read_note
from cavyround.knowledge.trained import trained_weights

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "cavyround.web.settings")
application = get_wsgi_application()
READY_AFTER_S = 20


def _set_aside() -> None:
    """Read what stays for the life of the process, and keep it from the looking for rubbish.

    The knowledge is some hundred thousand small values: looked through again and again for
    what may be thrown away, they would halt a page in ten for a tenth of a second.
    """
    _ = get_resolver().url_patterns
    gc.collect()
    gc.freeze()


def _make_words_ready() -> None:
    """Grow the words of notes into their tree, which takes a second or two.

    Some time after the first pages, so that nobody waits for it: neither who starts the tool
    nor who first says something with an animal in the hand.
    """
    read_note("ears clean", book=book(), trained=trained_weights())


_set_aside()
_words = Timer(READY_AFTER_S, _make_words_ready)
_words.daemon = True
_words.start()
