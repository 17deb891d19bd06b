"""From the network's answers to sheets: findings, care, blanket words and skipped steps."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import UNNAMED, Filed, Given, Sheet
from cavyround.engines.spoken.steps import step_of
from cavyround.engines.spoken.trained.amounts import CARRIED, count_at, weight_at
from cavyround.engines.spoken.trained.care_amounts import DOSED, amount_of_care
from cavyround.engines.spoken.trained.mentions import Called
from cavyround.engines.spoken.trained.owners import Owners
from cavyround.engines.spoken.trained.words_answered import Answers
from cavyround.engines.spoken.weighing import LEAST_BARE, LEAST_GRAMS
from cavyround.facts.observation import Grade, Side, Status
from cavyround.knowledge.book import Knowledge

THERE_FROM = 0.5
# Below this the finding is shown as one to look at once more: two readers in three would agree.
SURE_FROM = 0.75
LOOK_AGAIN = "these words leave a doubt"
HEDGED = "said with a doubt"
NOT_SURELY_GIVEN = "only one of two readings takes it as given"
TAKEN = frozenset({"done", "partly"})
UNIT_OF_BEFORE = "taken in the unit of the weight before"
STATUS = {"p": Status.PRESENT, "a": Status.ABSENT, "u": Status.UNCERTAIN}
WEIGHTS = frozenset({"weight", "weight_change"})
COUNTS = frozenset({"body_condition", "breath_rate", "heart_rate", "temperature"})
LOSS = "loss"
# What framing says of a sentence of which hardly a word is known.
FOREIGN = "no_content"


@dataclass
class Answering:
    """Writes the sheets of one text.

    ``ruled``: the sheets of the rules, whose amounts, sizes and products are taken over where both
    speak of the same words. ``nobody``: whose sheet is meant where nobody is named.
    """

    book: Knowledge
    answers: Answers
    owners: Owners
    called: Called
    item_of: Sequence[Item | None]
    items: Sequence[Item]
    ruled: Sequence[Sheet]
    nobody: str = UNNAMED
    sheets: dict[str, Sheet] = field(default_factory=dict)
    _chances: dict[int, tuple[Filed, float]] = field(default_factory=dict)
    _place: dict[int, int] = field(default_factory=dict)
    _unit_before: str | None = None

    def __post_init__(self) -> None:
        """Note where each item stands: a text may hold thousands."""
        self._at_region = self.answers.chance("R")
        self._used = self.answers.chance("U")[:, 0] >= THERE_FROM
        self._place = {id(item): at for at, item in enumerate(self.items)}

    def write(self) -> list[Sheet]:
        """All sheets, those named first in the order of naming."""
        for name in self.called.names:
            self._sheet(name)
        chances = self.answers.chance("F")
        for at, column in zip(*(chances >= THERE_FROM).nonzero(), strict=True):
            code = self.answers.weights.codes["F"][column]
            self._find(int(at), code, float(chances[at, column]))
        cares = self.answers.chance("K")
        for at, column in zip(*(cares >= THERE_FROM).nonzero(), strict=True):
            code = self.answers.weights.codes["K"][column]
            self._care(int(at), code, float(cares[at, column]))
        self._blankets_and_skips()
        return list(self.sheets.values())

    def _sheet(self, name: str) -> Sheet:
        return self.sheets.setdefault(name, Sheet(name))

    def _whose(self, at: int) -> list[Sheet]:
        return [self._sheet(name) for name in self.owners.of(at) or (self.nobody,)]

    def _find(self, at: int, code: str, chance: float) -> None:
        item = self._item(at)
        if item is None:
            return
        for region in self._regions(at):
            filed = self._filed(at, item, region, code)
            if filed is None or (code == "weight" and filed.status is Status.ABSENT):
                # A weight that was denied is none, and wipes no other.
                return
            if not filed.unsure and chance < SURE_FROM:
                filed.unsure = LOOK_AGAIN
            for sheet in self._whose(at):
                if code == "weight" and _is_too_little(filed, sheet.name):
                    continue
                if code == "weight":
                    sheet.findings = [one for one in sheet.findings if one.finding != code]
                self._file(sheet, _copied(filed), chance)

    def _item(self, at: int) -> Item | None:
        """The item of a word; none in a sentence of another language, which says nothing."""
        item = self.item_of[at]
        return None if item is None or item.left_out == FOREIGN else item

    def _file(self, sheet: Sheet, filed: Filed, chance: float) -> None:
        """Of one sign at one place the last word counts; said again alike, the surer answer."""
        for other in sheet.findings:
            if not other.is_same_sign(filed):
                continue
            if other.status is not filed.status:
                filed.unsure = filed.unsure or LOOK_AGAIN
            elif self._chances[id(other)][1] > chance:
                return
        sheet.file(filed)
        self._chances[id(filed)] = (filed, chance)

    def _regions(self, at: int) -> list[str]:
        chances = self._at_region[at]
        regions = self.answers.weights.codes["R"]
        likely = [regions[column] for column in (chances >= THERE_FROM).nonzero()[0]]
        return likely or [regions[int(chances.argmax())]]

    def _filed(self, at: int, item: Item, region: str, code: str) -> Filed | None:
        grade = self.answers.best("grade", at)
        kind = self.answers.best("kind", at)
        status = STATUS[self.answers.best("stat", at)]
        filed = Filed(
            region,
            code,
            Side(self.answers.best("side", at)),
            status,
            self._words_of(at, item),
            Grade(grade) if grade else None,
            {kind} if kind else set(),
            step=step_of(region, code, self.book),
            unsure=HEDGED if status is Status.UNCERTAIN else "",
        )
        self._take_over(filed, item)
        if code in WEIGHTS | COUNTS and not self._measure(filed, at, item):
            return None
        return filed

    def _words_of(self, at: int, item: Item) -> list[Item]:
        """The item itself and what the network marks as said with it, right beside."""
        used = self._used
        begin = end = at
        while begin > 0 and used[begin - 1]:
            begin -= 1
        while end + 1 < len(used) and used[end + 1]:
            end += 1
        beside = (self.item_of[index] for index in range(begin, end + 1))
        return list({id(one): one for one in (item, *beside) if one is not None}.values())

    def _take_over(self, filed: Filed, item: Item) -> None:
        """Size, value, kinds and further words as the rules have them for the same words."""
        for other in _at(self.ruled, item):
            if other.finding == filed.finding:
                filed.items += [one for one in other.items if one not in filed.items]
                filed.kinds |= other.kinds
                filed.grade = filed.grade or other.grade
                filed.value, filed.unit, filed.grams = other.value, other.unit, other.grams
                return

    def _measure(self, filed: Filed, at: int, item: Item) -> bool:
        """Put in the number said; False where there is none, and so no such finding."""
        if filed.value is None:
            where = self._place[id(item)]
            if filed.finding in WEIGHTS:
                before = self._unit_before if filed.finding == "weight" else None
                amount = weight_at(self.items, where, before)
            else:
                amount = count_at(self.items, where, filed.finding)
            if amount is None:
                return False
            filed.value, filed.unit, filed.grams = amount.value, amount.unit, amount.grams
            filed.items += [one for one in amount.items if one not in filed.items]
            if amount.unit in CARRIED and len(amount.items) == 1:
                filed.unsure = filed.unsure or UNIT_OF_BEFORE
        if filed.finding == "weight":
            self._unit_before = filed.unit
        if filed.finding == "weight_change" and filed.grams is not None:
            sign = -1 if self.answers.best("vs", at) == LOSS else 1
            filed.grams = abs(filed.grams) * sign
            if not isinstance(filed.value, str) and filed.value is not None:
                filed.value = abs(filed.value) * sign
        if filed.finding == "weight":
            # "Nine even": hundreds are meant, and nobody said so.
            return filed.grams is not None and filed.grams >= LEAST_GRAMS
        return filed.finding not in WEIGHTS or filed.grams is not None

    def _care(self, at: int, care: str, chance: float) -> None:
        item = self._item(at)
        if item is None:
            return
        given = Given(
            care,
            Side(self.answers.best("kside", at)),
            self.answers.best("kst", at),
            self._words_of(at, item),
            step=self._step_of_care(care),
            unsure=LOOK_AGAIN if chance < SURE_FROM else "",
        )
        given.status = self._safer_status(given, item)
        if given.status != self.answers.best("kst", at):
            given.unsure = NOT_SURELY_GIVEN
        care_of = self.book.words.product_care
        ask = amount_of_care(given, self._place[id(item)], self.items, self.ruled, care_of)
        for sheet in self._whose(at):
            same = next((other for other in sheet.care if _is_same_care(given, other)), None)
            if same is not None:
                _fill_in(same, given)
                continue
            sheet.care.append(replace(given, items=list(given.items)))
            if ask is not None:
                sheet.asks.append(ask)

    def _safer_status(self, given: Given, item: Item) -> str:
        """Of a dose that either reading takes as not given yet, that: no dose is shown as given."""
        if given.care in DOSED and given.status in TAKEN:
            for sheet in self.ruled:
                for other in sheet.care:
                    same = other.care == given.care and any(one is item for one in other.items)
                    if same and other.status not in TAKEN:
                        return other.status
        return given.status

    def _step_of_care(self, care: str) -> str:
        return next((one.step for one in self.book.words.care if one.care == care), "")

    def _blankets_and_skips(self) -> None:
        for at, item in self._marked("B"):
            for sheet in self._whose(at):
                sheet.blanket.append(item)
        chances = self.answers.chance("S")
        for at, column in zip(*(chances >= THERE_FROM).nonzero(), strict=True):
            for sheet in self._whose(int(at)):
                sheet.skipped.setdefault(self.answers.weights.codes["S"][column])

    def _marked(self, answer: str) -> Iterator[tuple[int, Item]]:
        for at in (self.answers.chance(answer)[:, 0] >= THERE_FROM).nonzero()[0]:
            item = self._item(int(at))
            if item is not None:
                yield int(at), item


def _at(sheets: Sequence[Sheet], item: Item) -> Iterator[Filed]:
    for sheet in sheets:
        for filed in sheet.findings:
            if any(one is item for one in filed.items):
                yield filed


def _is_too_little(filed: Filed, name: str) -> bool:
    """ "Twenty six" without a unit is a pup's weight, or the unit was not said."""
    grams = filed.grams is not None and filed.grams < LEAST_BARE
    bare = not any(one.has("unit") for one in filed.items)
    return grams and bare and not name.startswith("pup ")


def _copied(filed: Filed) -> Filed:
    return replace(filed, items=list(filed.items), kinds=set(filed.kinds))


def _is_same_care(given: Given, other: Given) -> bool:
    """Care that is said twice is one, unless side, product, amount or how it stands differs."""
    sides = {given.side, other.side}
    amounts = {given.value, other.value}
    products = {given.product, other.product}
    return (
        (given.care, given.status) == (other.care, other.status)
        and (len(sides) == 1 or Side.NOT_SAID in sides)
        and (len(amounts) == 1 or None in amounts)
        and (len(products) == 1 or "" in products)
    )


def _fill_in(same: Given, again: Given) -> None:
    """What the second saying adds to the first."""
    same.product = same.product or again.product
    if same.value is None:
        same.value, same.unit = again.value, again.unit
    same.items += [one for one in again.items if one not in same.items]
