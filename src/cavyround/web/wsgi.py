"""The web application for the serving process."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "cavyround.web.settings")
application = get_wsgi_application()
