"""What each role may do, in words."""

from dataclasses import dataclass

from cavyround.record.models import Role


@dataclass(frozen=True, slots=True)
class RoleWords:
    """A role, one line about it, and what it may do."""

    code: str
    name: str
    who: str
    may: tuple[str, ...]


_READS = "Reads everything: animals, checks, advice and the knowledge."

ROLES: tuple[RoleWords, ...] = (
    RoleWords(
        Role.CARER,
        Role.CARER.label,
        "Goes over the animals at the table.",
        (
            _READS,
            "Records checks, weigh-ins, care and photos, and takes in arrivals.",
            "Makes and keeps follow-ups, and corrects their own entries with a reason.",
        ),
    ),
    RoleWords(
        Role.LEAD,
        Role.LEAD.label,
        "Runs the rescue's day and sets things up.",
        (
            "All that a carer may do.",
            "Corrects the entries of others, with a reason; the old entry stays readable.",
            "Sets up animals, pens and people.",
        ),
    ),
    RoleWords(
        Role.VET,
        Role.VET.label,
        "Treats the animals; diagnosis and prescribing stay with the vet.",
        (_READS, "Answers the questions that carers put to the vet."),
    ),
    RoleWords(
        Role.VIEWER,
        Role.VIEWER.label,
        "Looks on, for example a helper in training or a trustee.",
        (_READS, "Changes nothing."),
    ),
)


def role_words(code: str) -> RoleWords:
    """What one role may do."""
    return next(role for role in ROLES if role.code == code)
