"""The web application for the serving process."""

import gc
import os

from django.core.wsgi import get_wsgi_application

from cavyround.advice.book import book

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "cavyround.web.settings")
application = get_wsgi_application()
# The knowledge is many small values that stay for the life of the process. Looked through again
# and again for what may be thrown away, they would halt every few pages for a tenth of a second.
book()
gc.collect()
gc.freeze()
