"""What stands on the invented rescue's shelf: by generic substance, no brand, with lots."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from typing import Any

from cavyround.demo.story import Story
from cavyround.record.models import Product
from cavyround.record.shelf import Moved, add_lot, add_product, move_stock, state_lot


@dataclass(frozen=True, slots=True, kw_only=True)
class Bottle:
    """One lot: when it came and was opened, in days ago, and in how many days it expires."""

    number: str
    came: int
    amount: str
    expires_in: int | None
    opened: int | None = None
    counted: tuple[int, str] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OnTheShelf:
    """One product with its lots."""

    key: str
    details: Mapping[str, Any]
    bottles: tuple[Bottle, ...] = field(default=())


PRODUCTS = (
    OnTheShelf(
        key="ivermectin",
        details={
            "name": "ivermectin injection",
            "drug": "ivermectin",
            "strength": "10 mg/mL",
            "keep": "below 25 °C, in the box",
        },
        bottles=(
            Bottle(number="IV-2207", came=190, amount="10", expires_in=210, opened=62),
            Bottle(number="IV-2311", came=30, amount="10", expires_in=480),
        ),
    ),
    OnTheShelf(
        key="meloxicam",
        details={
            "name": "meloxicam by mouth",
            "drug": "meloxicam",
            "strength": "0.5 mg/mL",
            "use_within_days": 90,
            "low_at": Decimal(5),
        },
        bottles=(
            Bottle(number="ML-118", came=240, amount="15", expires_in=-12, opened=160),
            Bottle(
                number="ML-131",
                came=50,
                amount="15",
                expires_in=160,
                opened=40,
                counted=(4, "13.5"),
            ),
        ),
    ),
    OnTheShelf(
        key="sulfa",
        details={
            "name": "trimethoprim with sulfonamide by mouth",
            "drug": "trimethoprim with sulfonamide",
            "strength": "48 mg/mL",
            "counted_as": "combined",
            "contains": ["trimethoprim", "sulfamethoxazole"],
            "use_within_days": 30,
        },
        bottles=(Bottle(number="TS-0409", came=8, amount="50", expires_in=300, opened=3),),
    ),
    OnTheShelf(
        key="fenbendazole",
        details={
            "name": "fenbendazole by mouth",
            "drug": "fenbendazole",
            "strength": "100 mg/mL",
            "use_within_days": 180,
        },
        bottles=(Bottle(number="FB-56", came=33, amount="20", expires_in=400, opened=1),),
    ),
    OnTheShelf(
        key="vitamin_c",
        details={
            "name": "vitamin C drops",
            "drug": "vitamin C",
            "strength": "100 mg/mL",
            "use_within_days": 60,
        },
        bottles=(Bottle(number="VC-77", came=20, amount="30", expires_in=120, opened=12),),
    ),
    OnTheShelf(
        key="buprenorphine",
        details={
            "name": "buprenorphine injection",
            "drug": "buprenorphine",
            "strength": "0.3 mg/mL",
            "controlled": True,
            "keep": "locked cupboard",
        },
        bottles=(Bottle(number="BU-9", came=35, amount="5", expires_in=250, counted=(5, "5")),),
    ),
    OnTheShelf(
        key="syringe_1",
        details={
            "name": "1 mL syringes, marks of 0.01 mL",
            "kind": "supply",
            "unit": "pieces",
            "syringe": "ml_1_by_0_01",
            "low_at": Decimal(40),
        },
        bottles=(Bottle(number="S1-4", came=60, amount="100", expires_in=900, counted=(2, "31")),),
    ),
    OnTheShelf(
        key="syringe_5",
        details={
            "name": "2.5 mL syringes, marks of 0.1 mL",
            "kind": "supply",
            "unit": "pieces",
            "syringe": "ml_2_5_by_0_1",
        },
        bottles=(Bottle(number="S2-1", came=60, amount="50", expires_in=900),),
    ),
    OnTheShelf(
        key="gloves",
        details={"name": "gloves, single use", "kind": "supply", "unit": "pieces"},
        bottles=(Bottle(number="", came=25, amount="200", expires_in=None, counted=(3, "64")),),
    ),
    OnTheShelf(
        key="swabs",
        details={"name": "cotton swabs", "kind": "supply", "unit": "pieces"},
        bottles=(Bottle(number="", came=45, amount="300", expires_in=None),),
    ),
    OnTheShelf(
        key="styptic",
        details={"name": "styptic powder", "kind": "supply", "unit": "g", "low_at": Decimal(10)},
        bottles=(Bottle(number="", came=200, amount="14", expires_in=400, counted=(3, "6")),),
    ),
    OnTheShelf(
        key="blades",
        details={"name": "clipper blades", "kind": "supply", "unit": "pieces"},
        bottles=(Bottle(number="", came=120, amount="2", expires_in=None),),
    ),
    OnTheShelf(
        key="pellets",
        details={"name": "pellets with vitamin C", "kind": "feed", "unit": "g"},
        bottles=(Bottle(number="PL-3", came=9, amount="15000", expires_in=55),),
    ),
)


def fill_shelf(story: Story, products: dict[str, Product]) -> None:
    """Products come when their first lot does; lots are opened and counted on their days."""
    for one in PRODUCTS:
        first = max((bottle.came for bottle in one.bottles), default=0)
        story.on(first, 560, _arrives(story, one, products))
        for bottle in one.bottles:
            story.on(bottle.came, 561, _comes(story, one.key, bottle, products))


def _arrives(story: Story, one: OnTheShelf, products: dict[str, Product]) -> Any:
    def act(moment: datetime) -> None:
        lead = story.people["lead"]
        products[one.key] = add_product(lead, one.details, moment, id=story.table.ids.at(moment))

    return act


def _comes(story: Story, key: str, bottle: Bottle, products: dict[str, Product]) -> Any:
    def act(moment: datetime) -> None:
        lead, ids = story.people["lead"], story.table.ids
        expires = None if bottle.expires_in is None else story.clock.day(-bottle.expires_in)
        lot = add_lot(
            lead,
            products[key],
            {"number": bottle.number, "expires_on": expires},
            moment,
            came=Decimal(bottle.amount),
            second=story.people["carer"],
            id=ids.at(moment),
        )
        if bottle.opened is not None:
            opened = story.clock.at(bottle.opened, 562)
            said = {"opened_on": story.clock.day(bottle.opened)}
            state_lot(story.people["carer"], lot, said, "opened", opened)
        if bottle.counted is not None:
            ago, left = bottle.counted
            counted = story.clock.at(ago, 1100)
            moved = Moved(
                kind="counted",
                amount=Decimal(left),
                at=counted,
                second=story.people["lead"],
                id=ids.at(counted),
            )
            move_stock(story.people["carer"], lot, moved, counted)

    return act
