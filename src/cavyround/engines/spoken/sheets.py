"""What is filed while a note is read: a sheet for each animal, corrected as the speaker goes on."""

from dataclasses import dataclass, field
from decimal import Decimal

from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.spots import Spot
from cavyround.facts.observation import Grade, Side, Status

UNNAMED = "unnamed"


@dataclass(slots=True, eq=False)
class Filed:
    """One finding as filed so far."""

    region: str
    finding: str
    side: Side
    status: Status
    items: list[Item]
    grade: Grade | None = None
    kinds: set[str] = field(default_factory=set)
    value: Decimal | str | None = None
    unit: str | None = None
    grams: Decimal | None = None
    step: str = ""
    unsure: str = ""
    homeless: bool = False
    allowed: tuple[str, ...] = ()

    def is_same_sign(self, other: "Filed") -> bool:
        """The same thing at the same place."""
        return (self.region, self.side, self.finding) == (other.region, other.side, other.finding)


@dataclass(slots=True, eq=False)
class Given:
    """One care item as filed so far."""

    care: str
    side: Side
    status: str
    items: list[Item]
    product: str = ""
    value: Decimal | None = None
    unit: str | None = None
    step: str = ""
    sentence: int = -1
    unsure: str = ""


@dataclass(slots=True)
class Sheet:
    """All that was said of one animal."""

    name: str
    findings: list[Filed] = field(default_factory=list)
    care: list[Given] = field(default_factory=list)
    blanket: list[Item] = field(default_factory=list)
    skipped: dict[str, None] = field(default_factory=dict)
    asks: list[tuple[str, str, tuple[Item, ...]]] = field(default_factory=list)

    def file(self, new: Filed) -> None:
        """Add a finding; of the same sign at the same place the last word counts."""
        for index, old in enumerate(self.findings):
            if old.is_same_sign(new):
                new.grade = new.grade or old.grade
                new.kinds |= old.kinds if new.status == old.status else set()
                if new.value is None and new.status == old.status:
                    new.value, new.unit, new.grams = old.value, old.unit, old.grams
                self.findings[index] = new
                return
        self.findings.append(new)

    def drop(self, old: Filed) -> None:
        """Take a finding back."""
        self.findings = [one for one in self.findings if one is not old]


@dataclass(slots=True)
class Desk:
    """Where the reading stands: whose sheet, which place, what was filed last."""

    sheets: dict[str, Sheet] = field(default_factory=dict)
    current: list[str] = field(default_factory=list)
    topic: tuple[Spot, ...] = ()
    aside: tuple[Spot, ...] = ()
    aside_sentence: int = -1
    topic_sentence: int = -1
    pending: list[Spot] = field(default_factory=list)
    listing: bool = False
    home: tuple[Spot, ...] = ()
    last: list[tuple[str, Filed]] = field(default_factory=list)
    last_sign: tuple[Item, tuple[Spot, ...]] | None = None
    last_care: list[tuple[str, Given]] = field(default_factory=list)
    care_topic: str = ""
    correcting: int = 0
    group: str = ""
    foreign: bool = False
    filed_spots: list[Spot] = field(default_factory=list)
    named: list[str] = field(default_factory=list)
    one_side: tuple[str, Side] | None = None
    of_both: str = ""

    def sheet(self, name: str) -> Sheet:
        """The sheet of an animal; begun where there is none."""
        return self.sheets.setdefault(name, Sheet(name))

    @property
    def of_now(self) -> list[str]:
        """Whose findings these are."""
        return self.current or [UNNAMED]

    def file(self, make: "Filed", *, begins: bool) -> None:
        """File a finding for all it is said of."""
        if begins:
            self.last = []
        for name in self.of_now:
            copy = Filed(
                make.region,
                make.finding,
                make.side,
                make.status,
                list(make.items),
                make.grade,
                set(make.kinds),
                make.value,
                make.unit,
                make.grams,
                make.step,
                make.unsure,
                make.homeless,
                make.allowed,
            )
            self.sheet(name).file(copy)
            self.last.append((name, copy))
