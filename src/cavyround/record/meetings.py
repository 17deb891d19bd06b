"""Times animals met outside their pens: in a shared run, and while they are introduced."""

from collections.abc import Collection
from uuid import UUID

from cavyround.facts.stays import Stay
from cavyround.record.models import Introduced, SharedUse


def meetings_of(animals: Collection[UUID]) -> list[Stay]:
    """As stays at a place of its own; an introduction lasts until somebody says how it went."""
    runs = SharedUse.objects.filter(animal__in=animals, kind="run")
    found = [
        Stay(
            animal=str(one.animal_id),
            began_at=one.began_at,
            ended_at=one.ended_at,
            pen=f"in the run {one.name}",
            id=str(one.pk),
        )
        for one in runs
    ]
    members = Introduced.objects.filter(animal__in=animals).select_related("introduction")
    for member in members.prefetch_related("introduction__outcomes"):
        began = member.introduction
        ends = [said.made_at for said in began.outcomes.all()]
        found.append(
            Stay(
                animal=str(member.animal_id),
                began_at=began.began_at,
                ended_at=min(ends, default=None),
                pen=f"introduced on {began.began_at:%d %B %Y, %H:%M}",
                id=str(member.pk),
            )
        )
    return found
