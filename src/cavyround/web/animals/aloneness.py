"""What the page of an animal says of its living alone."""

from dataclasses import dataclass

from cavyround.advice.alone import Alone, alone_of
from cavyround.record.models import Animal


@dataclass(frozen=True, slots=True)
class AloneShown:
    """What was said, and with whom it shares its pen now."""

    said: Alone
    mates: tuple[Animal, ...]

    @property
    def in_words(self) -> str:
        """Whether company is needed, in words."""
        if self.said.keeps:
            return "nobody is put with it until somebody ends this"
        if self.said.reason is not None and self.said.reason.company == "later":
            return "needs company as soon as that is over"
        return "needs company"


def alone_shown(animal: Animal) -> AloneShown | None:
    """None where there is nothing to say: it has company, and nothing was written down."""
    if not animal.is_here:
        return None
    said = alone_of([animal.pk]).get(animal.pk, Alone())
    here = Animal.objects.filter(left_on=None, pen=animal.pen_id).exclude(pk=animal.pk)
    mates = tuple(here.order_by("name")) if animal.pen_id is not None else ()
    if said.row is None and (mates or animal.pen_id is None):
        return None
    return AloneShown(said, mates)
