"""Every address of the pages, with arguments filled in from the demo herd."""

from collections.abc import Iterator
from uuid import UUID

from django.urls import URLPattern, URLResolver, get_resolver, reverse

from cavyround.advice.book import book
from tests.browser.house import House

Arguments = dict[str, str | int]


def names() -> Iterator[tuple[str, tuple[str, ...]]]:
    """The name of every address, with the names of its arguments."""
    for pattern in _patterns(get_resolver().url_patterns):
        if pattern.name:
            yield pattern.name, tuple(pattern.pattern.regex.groupindex)


def _patterns(given: list[URLPattern | URLResolver]) -> Iterator[URLPattern]:
    for one in given:
        if isinstance(one, URLResolver):
            yield from _patterns(one.url_patterns)
        else:
            yield one


def filled_in(house: House) -> dict[str, list[str]]:
    """Every address by name, with one example or a few."""
    examples = _Examples(house)
    return {
        name: [reverse(name, kwargs=given) for given in examples.of(name, wanted)[: _most(name)]]
        for name, wanted in names()
    }


def _most(name: str) -> int:
    """Forms look the same for every animal; what is told of one does not."""
    return 6 if name in RICH else 1


class _Examples:
    def __init__(self, house: House) -> None:
        self.house = house

    def of(self, name: str, wanted: tuple[str, ...]) -> list[Arguments]:
        """Arguments for an address; at least one set, or the herd lacks something."""
        if not wanted:
            return [{}]
        found = self._codes(name) if wanted in (("code",), ("rule_id",)) else self._rows(wanted)
        assert found, f"the demo herd has nothing to show at {name}"
        return found

    def _codes(self, name: str) -> list[Arguments]:
        if name == "knowledge-rule":
            rules = [rule.id for rule in book().rules]
            return [{"rule_id": one} for one in (rules[0], rules[len(rules) // 2], rules[-1])]
        if name == "knowledge-hold":
            return [{"code": hold.code} for hold in book().holds]
        from cavyround.web.library.areas import AREAS  # noqa: PLC0415

        areas = list(AREAS)
        return [{"code": _code(one)} for one in (areas[0], areas[len(areas) // 2], areas[-1])]

    def _rows(self, wanted: tuple[str, ...]) -> list[Arguments]:
        rows = self.house.rows(ROWS[wanted])
        return [
            {name: _as_argument(value) for name, value in zip(wanted, row.values(), strict=True)}
            for row in rows
        ]


def _code(area: object) -> str:
    return str(getattr(area, "code", area))


def _as_argument(value: object) -> str | int:
    if isinstance(value, int):
        return value
    text = str(value)
    return str(UUID(text)) if len(text) == 32 else text


RICH = (
    frozenset({"course", "order", "product"})
    | frozenset({"animal", "advice", "check-history", "correct-entry", "person"})
    | frozenset({"knowledge-hold", "knowledge-area"})
)
# One or more rows for each set of arguments: the richest, the newest, one that left.
ROWS = {
    ("animal_id",): (
        "SELECT animal_id FROM (SELECT animal_id, count(*) AS n FROM record_observed "
        "JOIN record_animal a ON a.id = animal_id WHERE a.left_on IS NULL "
        "GROUP BY animal_id ORDER BY n DESC LIMIT 1) UNION ALL "
        "SELECT id FROM (SELECT id FROM record_animal WHERE left_on IS NULL "
        "ORDER BY arrived_on DESC LIMIT 1) UNION ALL "
        "SELECT id FROM (SELECT id FROM record_animal WHERE left_on IS NOT NULL LIMIT 1)"
    ),
    ("check_id",): (
        "SELECT id FROM (SELECT check_in_id AS id FROM record_checkentry WHERE kind = 'correction' "
        "LIMIT 1) UNION SELECT id FROM (SELECT id FROM record_check ORDER BY id DESC LIMIT 1)"
    ),
    ("check_id", "entry_id"): (
        "SELECT check_in_id, id FROM (SELECT check_in_id, id FROM record_checkentry "
        "WHERE kind = 'observation' LIMIT 1) UNION ALL "
        "SELECT check_in_id, id FROM (SELECT check_in_id, id FROM record_checkentry "
        "WHERE kind = 'weight' LIMIT 1)"
    ),
    ("given_id",): (
        "SELECT id FROM (SELECT id FROM record_advicegiven WHERE urgency = 'normal' LIMIT 1) "
        "UNION SELECT id FROM (SELECT id FROM record_advicegiven WHERE urgency != 'normal' "
        "ORDER BY length(result) DESC LIMIT 2)"
    ),
    ("digest",): "SELECT digest FROM record_photo LIMIT 1",
    ("mark_id",): (
        "SELECT id FROM record_standingmark WHERE id NOT IN "
        "(SELECT mark_id FROM record_standingmarkend) LIMIT 1"
    ),
    ("follow_up_id",): (
        "SELECT id FROM record_followup WHERE id NOT IN "
        "(SELECT follow_up_id FROM record_followupoutcome) LIMIT 1"
    ),
    ("question_id",): "SELECT id FROM record_vetquestion ORDER BY id DESC LIMIT 1",
    ("outbreak_id",): "SELECT id FROM record_outbreak LIMIT 2",
    ("alone_id",): "SELECT id FROM record_livesalone LIMIT 1",
    ("labour_id",): "SELECT id FROM record_labour LIMIT 1",
    ("seen_id",): "SELECT id FROM record_labourseen LIMIT 1",
    ("litter_id",): "SELECT id FROM record_litter LIMIT 1",
    ("animal_id", "what", "entry_id"): "SELECT dam_id, 'litter', id FROM record_litter LIMIT 1",
    ("move_id",): "SELECT id FROM record_move WHERE pen_id IS NOT NULL LIMIT 1",
    ("introduction_id",): "SELECT id FROM record_introduction LIMIT 1",
    ("pen_id",): "SELECT pen_id FROM record_animal WHERE pen_id IS NOT NULL LIMIT 2",
    ("pk",): "SELECT id FROM record_person ORDER BY id LIMIT 2",
    ("order_id",): (
        "SELECT id FROM (SELECT id FROM record_order WHERE id IN "
        "(SELECT order_id FROM record_reasonsetaside) LIMIT 1) UNION "
        "SELECT id FROM (SELECT id FROM record_order WHERE standing LIMIT 1)"
    ),
    ("order_id", "animal_id"): "SELECT order_id, animal_id FROM record_standingdeclined LIMIT 1",
    # One that is late, one worked out in full, one of care, one that is over.
    ("course_id",): (
        "SELECT id FROM (SELECT course_id AS id FROM record_doseentry "
        "WHERE outcome = 'not_given' LIMIT 1) UNION "
        "SELECT id FROM (SELECT course_id AS id FROM record_doseentry "
        "WHERE outcome = 'spat_out' LIMIT 1) UNION "
        "SELECT id FROM (SELECT c.id FROM record_course c JOIN record_order o ON o.id = c.order_id "
        "WHERE o.care != '' LIMIT 1) UNION "
        "SELECT id FROM (SELECT course_id AS id FROM record_courselook LIMIT 1)"
    ),
    ("day_off_id",): "SELECT id FROM record_dayoff LIMIT 1",
    ("dose_id",): "SELECT id FROM record_doseentry WHERE amount IS NOT NULL LIMIT 1",
    ("aside_id",): "SELECT id FROM record_reasonsetaside LIMIT 1",
    ("allergy_id",): "SELECT id FROM record_allergy LIMIT 1",
    ("product_id",): (
        "SELECT id FROM (SELECT id FROM record_product WHERE controlled LIMIT 1) UNION "
        "SELECT id FROM (SELECT lot.product_id AS id FROM record_doseentry d "
        "JOIN record_lot lot ON lot.id = d.lot_id LIMIT 1)"
    ),
    ("lot_id",): (
        "SELECT lot.id FROM record_lot lot JOIN record_product p ON p.id = lot.product_id "
        "WHERE p.controlled LIMIT 1"
    ),
}
