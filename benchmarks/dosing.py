"""How many doses are worked out in a second, and whether any of very many random ones is wrong."""

from benchmarks.random_orders import HAND, check, random_orders, worked
from benchmarks.report import Found, Line
from benchmarks.timing import once
from cavyround.engines.dosing import syringe_in_hand
from cavyround.knowledge.book import Knowledge

SEED = 20260303
TIMED = 2_000
ROUNDS = 5


def dosing(book: Knowledge, *, orders: int) -> Found:
    """The dosing engine's part of the table."""
    rate = doses_per_second(book)
    checked = check(random_orders(orders, SEED, book), book)
    wrong = sum(checked.wrong.values())
    lines = [
        Line("doses worked out, one core", f"{rate:,.0f} a second"),
        Line(
            f"{orders:,} random orders: slips, lost units, less for more weight",
            ", ".join(f"{count} {what}" for what, count in checked.wrong.items()) or "none",
            "none",
            wrong == 0,
        ),
    ]
    note = (
        f"Doses: one core; each with all its checks against formulary, dangers and label. "
        f"Of the random orders {checked.doses:,} became doses, each worked out again in fractions "
        f"and again for a heavier animal, and {checked.refusals:,} refusals; one order in four had "
        f"a lost point. Seed {SEED}."
    )
    return Found(lines, [note])


def doses_per_second(book: Knowledge) -> float:
    """Doses and refusals worked out in a second."""
    orders = list(random_orders(TIMED, SEED, book))
    hand = tuple(syringe_in_hand(book, code) for code in HAND)

    def run() -> None:
        for one in orders:
            worked(one, one.grams, hand, book)

    run()
    return TIMED / min(once(run) for _ in range(ROUNDS))
