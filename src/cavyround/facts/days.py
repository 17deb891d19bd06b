"""Days that can be: a year with a slipped digit is seen before it is kept."""

from datetime import date

# No guinea pig is known to have reached fifteen years (median age at death about four); what
# lies further back than this is a slip of the finger. The bound is wide: our own judgement.
YEARS_BACK = 20
# Nothing is planned here further ahead. Our own judgement.
YEARS_AHEAD = 2
LEAP_DAY = (2, 29)


def why_no_day(day: date, today: date) -> str:
    """Why a day cannot be meant, in words for whoever typed it; empty where it can."""
    if day < _years_from(today, -YEARS_BACK):
        return (
            f"{day.isoformat()} is more than {YEARS_BACK} years ago, longer than any guinea pig "
            "lives. Look at the year again."
        )
    if day > _years_from(today, YEARS_AHEAD):
        return f"{day.isoformat()} is more than {YEARS_AHEAD} years ahead. Look at the year again."
    return ""


def _years_from(today: date, years: int) -> date:
    day = 28 if (today.month, today.day) == LEAP_DAY else today.day
    return today.replace(year=today.year + years, day=day)
