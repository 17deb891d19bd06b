"""Orders and their courses: under way, late, finished, proposed; and what was given of them."""

from datetime import datetime, time
from decimal import Decimal

from cavyround.advice.medicines.running import standing
from cavyround.advice.medicines.working import work_out_for
from cavyround.demo.dosing import (
    BEGUN_AT,
    GIVEN_AT,
    VET,
    Cabinet,
    Given,
    begins,
    every,
    gives,
    orders,
)
from cavyround.demo.shelf import fill_shelf
from cavyround.demo.story import Story
from cavyround.facts.lengths import hours
from cavyround.facts.orders import Limits
from cavyround.facts.schedules import (
    IfLate,
    IfMissed,
    IfPartly,
    days,
)
from cavyround.record.allergies import AsideSaid, note_allergy, set_aside
from cavyround.record.courses import decline_standing, look_after
from cavyround.record.days_off import note_day_off
from cavyround.record.doses import AnswerSaid, keep_answer
from cavyround.record.models import Course

EIGHT = time(8, 0)
MITES = ("chirodiscoides",)


def tell_medicines(story: Story) -> Cabinet:
    """The shelf, the orders, the courses."""
    cabinet = Cabinet()
    fill_shelf(story, cabinet.products)
    _meadow_finished(story, cabinet)
    _yarrow_under_way(story, cabinet)
    _newcomers(story, cabinet)
    _pain_relief(story, cabinet)
    _bladder(story, cabinet)
    _care(story, cabinet)
    _decided(story, cabinet)
    _allergy(story)
    _days_off(story)
    return cabinet


def _meadow_finished(story: Story, cabinet: Cabinet) -> None:
    """Fur mites in the meadow run, treated three times, looked at again and clear."""
    keys = ("fennel", "teasel", "burdock", "lovage")
    orders(
        story,
        cabinet,
        "meadow",
        61,
        "ivermectin",
        drug="ivermectin",
        dose="0.4 mg/kg",
        route="under_skin",
        strength="10 mg/mL",
        why="fur mites in the combings of the whole pen",
        against=MITES,
        second_check=True,
        diluent="propylene glycol",
        when=lambda: every(days(10), story.clock.day(60), doses=3, if_late=IfLate.GIVE_MOVE_PLAN),
    )
    begins(story, cabinet, "meadow", keys, 60)
    for key in keys:
        for number, ago in enumerate((60, 50, 40), start=1):
            gives(story, cabinet, "meadow", key, number, Given(ago=ago))

    def look(moment: datetime) -> None:
        for key in keys:
            course = cabinet.courses[("meadow", key)]
            note = "combed over dark paper: nothing moves"
            look_after(
                story.people["carer"],
                course,
                moment,
                clear=True,
                note=note,
                id=story.table.ids.at(moment),
            )

    for ago in (19, 5):
        story.on(ago, GIVEN_AT, look)


def _yarrow_under_way(story: Story, cabinet: Cabinet) -> None:
    """Four doses, ten days apart; the second was due yesterday and one sow has not had it."""
    keys = ("pebble", "bilberry", "mallow", "sorrel")
    orders(
        story,
        cabinet,
        "yarrow",
        12,
        "ivermectin",
        drug="ivermectin",
        dose="0.4 mg/kg",
        route="under_skin",
        strength="10 mg/mL",
        diluent="propylene glycol",
        why="fur mites, found on combing",
        against=MITES,
        second_check=True,
        withdrawal_days=28,
        limits=Limits(not_pregnant=True),
        when=lambda: every(
            days(10),
            story.clock.day(11),
            doses=4,
            if_late=IfLate.GIVE_MOVE_PLAN,
            if_missed=IfMissed.GIVE_MOVE_PLAN,
        ),
    )
    begins(story, cabinet, "yarrow", keys, 11)
    for key in keys:
        gives(story, cabinet, "yarrow", key, 1, Given(ago=11))
        if key != "sorrel":
            gives(story, cabinet, "yarrow", key, 2, Given(ago=1))
    missed = Given(ago=1, outcome="not_given", why="was at the vet's until the evening")
    gives(story, cabinet, "yarrow", "sorrel", 2, missed)


def _newcomers(story: Story, cabinet: Cabinet) -> None:
    """A standing order against fur mites and lice: it proposes, a person confirms."""
    orders(
        story,
        cabinet,
        "arrivals",
        180,
        "ivermectin",
        drug="ivermectin",
        dose="0.4 mg/kg",
        route="under_skin",
        strength="10 mg/mL",
        why="parasites, for every newcomer that fits",
        against=MITES,
        standing=True,
        second_check=True,
        limits=Limits(not_under_g=Decimal(300), not_pregnant=True),
        diluent="propylene glycol",
        when=lambda: every(days(10), story.clock.day(180), doses=3),
    )
    begins(story, cabinet, "arrivals", ("crumpet",), 8, first_on=story.clock.day(8))
    gives(story, cabinet, "arrivals", "crumpet", 1, Given(ago=8))

    def decline(moment: datetime) -> None:
        order = cabinet.orders["arrivals"]
        for key, why in (
            ("thistle", "the vet treats its lice at the practice"),
            ("mallow", "treated together with her pen"),
        ):
            decline_standing(story.people["lead"], order, story.animals[key], why, moment)

    story.on(9, BEGUN_AT + 5, decline)


def _pain_relief(story: Story, cabinet: Cabinet) -> None:
    """Wilf's stiff hind legs: a week of pain relief by mouth, one dose spat out."""
    story.visit("wilf", 3, "weigh_in")
    orders(
        story,
        cabinet,
        "pain",
        4,
        "meloxicam",
        drug="meloxicam",
        dose="0.4 mg/kg",
        route="by_mouth",
        strength="0.5 mg/mL",
        why="stiff in the hind legs",
        when=lambda: every(
            days(1),
            story.clock.day(3),
            doses=7,
            if_late=IfLate.GIVE_KEEP_PLAN,
            if_missed=IfMissed.LEAVE_OUT,
            if_partly=IfPartly.COUNTS,
        ),
    )
    begins(story, cabinet, "pain", ("wilf",), 3)
    for number, ago in enumerate((3, 2, 1), start=1):
        given = Given(ago=ago)
        if ago == 2:
            given = Given(ago=ago, outcome="spat_out", why="turned away, about half ran out")
        gives(story, cabinet, "pain", "wilf", number, given)

    def eats(moment: datetime) -> None:
        course = cabinet.courses[("pain", "wilf")]
        answer = AnswerSaid(
            id=story.table.ids.at(moment),
            course=course.pk,
            question="AD.eating_droppings",
            answer="eating, droppings as before",
            at=moment,
        )
        keep_answer(story.people["carer"], answer, moment)

    story.on(1, 560, eats)


def _decided(story: Story, cabinet: Cabinet) -> None:
    """Otis gets more than usual: what speaks against it the vet has decided, by name and why."""
    story.visit("otis", 3, "weigh_in")
    orders(
        story,
        cabinet,
        "otis",
        3,
        "meloxicam",
        drug="meloxicam",
        dose="0.8 mg/kg",
        route="by_mouth",
        strength="0.5 mg/mL",
        why="sore after a tooth was taken out",
        when=lambda: every(days(1), story.clock.day(2), doses=5, if_late=IfLate.GIVE_KEEP_PLAN),
    )
    begins(story, cabinet, "otis", ("otis",), 3, first_on=story.clock.day(2))

    def decide(moment: datetime) -> None:
        course = cabinet.courses[("otis", "otis")]
        rows = Course.objects.select_related("order__product", "order__made_by", "animal__pen")
        (running,) = standing(rows.filter(pk=course.pk), moment)
        for reason in getattr(work_out_for(running, moment).result, "reasons", ()):
            if reason.may != "vet":
                continue
            said = AsideSaid(
                id=story.table.ids.at(moment),
                key=reason.key,
                words=reason.words,
                by_name=VET,
                role="vet",
                word="telephone",
                said_on=moment.date(),
                why="0.4 did not hold him; kidneys tested and sound, and only for five days",
                animal=story.animals["otis"],
            )
            set_aside(story.people["lead"], course.order, said, moment)

    story.on(3, BEGUN_AT + 5, decide)
    for number, ago in enumerate((2, 1), start=1):
        gives(story, cabinet, "otis", "otis", number, Given(ago=ago))


def _bladder(story: Story, cabinet: Cabinet) -> None:
    """A bladder infection: an antibiotic every twelve hours, counted in hours."""
    first = story.clock.by(2, 8 * 60)
    orders(
        story,
        cabinet,
        "bladder",
        3,
        "sulfa",
        drug="trimethoprim with sulfonamide",
        dose="30 mg/kg",
        route="by_mouth",
        strength="48 mg/mL",
        counted_as="combined",
        why="bladder infection, shown by the vet's test",
        when=lambda: every(hours(12), first, doses=20, if_late=IfLate.GIVE_KEEP_PLAN),
    )
    begins(story, cabinet, "bladder", ("tansy",), 3, first_at=first)
    for number, (ago, minute) in enumerate(((2, 485), (2, 1205), (1, 490), (1, 1200)), start=1):
        gives(story, cabinet, "bladder", "tansy", number, Given(ago=ago, minute=minute))


def _care(story: Story, cabinet: Cabinet) -> None:
    """Care that is no medicine: vitamin C for the stray, and Saffron weighed every day."""
    orders(
        story,
        cabinet,
        "vitamin_c",
        1,
        care="vitamin_c_by_mouth",
        why="found outdoors, nobody knows what she ate",
        note="half a 50 mg tablet, crushed in a spoon of wet pellets",
        when=lambda: every(days(1), story.clock.day(1), doses=14, if_missed=IfMissed.LEAVE_OUT),
    )
    begins(story, cabinet, "vitamin_c", ("damson",), 1)
    gives(story, cabinet, "vitamin_c", "damson", 1, Given(ago=1))
    orders(
        story,
        cabinet,
        "weighing",
        4,
        care="daily_weighing",
        why="losing weight, dribbles",
        when=lambda: every(
            days(1),
            story.clock.day(3),
            at=(EIGHT,),
            first_time=EIGHT,
            if_late=IfLate.GIVE_KEEP_PLAN,
            if_missed=IfMissed.LEAVE_OUT,
        ),
    )
    begins(story, cabinet, "weighing", ("saffron",), 4, first_on=story.clock.day(3))
    for number, ago in enumerate((3, 2, 1), start=1):
        gives(story, cabinet, "weighing", "saffron", number, Given(ago=ago, minute=8 * 60 + 5))


def _days_off(story: Story) -> None:
    def note(moment: datetime) -> None:
        note_day_off(
            story.people["lead"],
            story.clock.day(-12),
            moment,
            why="the house is closed",
            id=story.table.ids.at(moment),
        )

    story.on(5, 705, note)


def _allergy(story: Story) -> None:
    def note(moment: datetime) -> None:
        note_allergy(
            story.people["lead"],
            story.animals["cob"],
            "enrofloxacin",
            moment,
            note="would not eat for two days after it, told by the family he came from",
            id=story.table.ids.at(moment),
        )

    story.on(90, 700, note)
