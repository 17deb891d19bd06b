"""``python -m benchmarks.one_animal FOLDER``: a rescue with one sow that is due her weekly check.

Prints as JSON her id and the cookie of a carer who is signed in.
"""

import json
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cavyround.commands.folder import set_up

WEEKS = 4
GRAMS = 983


def main(folder: Path) -> None:
    """Make the rescue."""
    set_up(folder)
    from django.conf import settings  # noqa: PLC0415 -- the folder is known only now
    from django.contrib.auth import (  # noqa: PLC0415
        BACKEND_SESSION_KEY,
        HASH_SESSION_KEY,
        SESSION_KEY,
    )
    from django.contrib.sessions.backends.db import SessionStore  # noqa: PLC0415

    from benchmarks.herd_here import send_check, whole_check  # noqa: PLC0415
    from cavyround.record.animals import Coming, add_animal  # noqa: PLC0415
    from cavyround.record.models import Pen, Room  # noqa: PLC0415
    from cavyround.record.people import add_person  # noqa: PLC0415

    now = datetime.now(UTC)
    carer = add_person("carer", "not-a-real-password", "carer", "Carer")
    pen = Pen.objects.create(room=Room.objects.create(name="Room"), name="Pen", kind="residents")
    came = now - timedelta(days=400)
    born = (came - timedelta(days=300)).date()
    details = {"name": "Teasel", "sex": "sow", "born_earliest": born, "born_latest": born}
    sow = add_animal(carer, details, Coming(on=came.date(), how="found"), came, pen=pen)
    for week in range(WEEKS, 0, -1):
        at = now - timedelta(days=7 * week)
        send_check(sow, carer, at, whole_check(sow, at, GRAMS - week))
    session = SessionStore()
    session[SESSION_KEY] = str(carer.pk)
    session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
    session[HASH_SESSION_KEY] = carer.get_session_auth_hash()
    session.create()
    cookie = {"name": settings.SESSION_COOKIE_NAME, "value": session.session_key}
    print(json.dumps({"animal": str(sow.id), "cookie": cookie, "last_grams": GRAMS - 1}))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
