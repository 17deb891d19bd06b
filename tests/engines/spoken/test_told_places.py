"""A case told place by place: of which place each sign is, since when, and what is over.

The sentences are our own; what each must come to is common practice, no source, but where a row of
the shared findings table is named.
"""

from datetime import date

import pytest

from cavyround.commands.told_cases import ToldCase, ToldSignalment, coded
from cavyround.engines.spoken.telling import read_told
from cavyround.engines.spoken.told_times import days_ago_in
from cavyround.facts.observation import Status
from cavyround.knowledge.book import Knowledge

Told = dict[str, str]


def told(findings: Told, book: Knowledge, *, sex: str = "") -> set[tuple[str, str, str]]:
    read = read_told(findings, also="", duration="", book=book, sex=sex)
    return {(one.region, one.finding, one.status.value) for one, _ in read.findings}


@pytest.mark.parametrize(
    ("region", "said", "finding"),
    [
        ("testicle", "A smear of creamy pus this morning", "discharge"),
        ("testicle", "The scar has puffed up like a marble", "swelling"),
        ("behind_ear", "Bald spot on both sides", "bald_patch"),
        ("urine", "Pink spots on the white towel", "blood"),
        ("hind_leg", "Left one held up off the floor", "limp"),
    ],
)
def test_a_sign_is_of_the_place_it_is_told_of(
    region: str, said: str, finding: str, book: Knowledge
) -> None:
    assert (region, finding, "present") in told({region: said}, book)


@pytest.mark.parametrize(
    ("region", "said", "finding"),
    [
        ("belly", "Scar is flat and dry", "lethargic"),
        ("testicle", "Right side flat", "lethargic"),
        ("grease_gland", "Brown tufts stuck together", "clumped"),
        ("perineal_sac", "Smear of white paste", "gritty"),
        ("whole", "Bright and noisy", "noisy"),
        ("whole", "Half a minute maybe, then he got up", "breath_rate"),
        ("front_foot", "Hard brown scab on the left sole", "discoloured"),
    ],
)
def test_a_sign_of_another_place_is_not_read_into_it(
    region: str, said: str, finding: str, book: Knowledge
) -> None:
    assert finding not in {one[1] for one in told({region: said}, book)}


@pytest.mark.parametrize("said", ["Flat", "He's flat", "Very flat", "Gone flat"])
def test_a_flat_animal_is_still_flat(said: str, book: Knowledge) -> None:
    assert ("whole", "lethargic", "present") in told({"whole": said}, book)


@pytest.mark.parametrize("said", ["Soft, but she's flat", "Soft, he is really flat"])
def test_an_animal_called_flat_beside_a_place_is_flat(said: str, book: Knowledge) -> None:
    assert ("whole", "lethargic", "present") in told({"belly": said}, book)


def test_a_place_named_in_the_words_keeps_its_sign(book: Knowledge) -> None:
    assert ("nose", "discharge", "present") in told({"eye": "Clear, but pus at the nose"}, book)


def test_what_was_looked_for_and_not_found_is_not_there(book: Knowledge) -> None:
    assert ("skin", "bite", "absent") in told({"skin": "Went over her for bites, nothing"}, book)


def test_sneezes_and_none_since_were_sneezes(book: Knowledge) -> None:
    read = told({"breathing": "Three sneezes when I shook the hay, none since"}, book)
    assert ("breathing", "sneezing", "present") in read


def test_a_past_day_off_food_is_over_where_it_eats_now(book: Knowledge) -> None:
    history = "Spayed twelve days back; was off her food the first evening"
    assert "not_eating" not in {
        one[1] for one in told({"history": history, "appetite": "Eating everything"}, book)
    }
    assert "not_eating" in {one[1] for one in told({"history": history}, book)}
    assert "not_eating" in {
        one[1] for one in told({"history": history, "appetite": "Picking at her hay"}, book)
    }


def test_every_food_left_and_none_taken_is_not_eating(book: Knowledge) -> None:
    left = "Left his veg and this morning's bowl, not touched any hay"
    assert ("appetite", "not_eating", "present") in told({"appetite": left}, book)
    choosy = "Leaves hay and pellets, eats cucumber"
    assert ("appetite", "not_eating", "present") not in told({"appetite": choosy}, book)


def test_an_open_pink_moist_vulva_is_heat_but_not_with_blood(book: Knowledge) -> None:
    """Findings table, perineum_female: open or pink, moist vulva without blood for a day."""
    in_heat = told({"vulva": "Slit is open today, pinkish and a bit moist. No blood"}, book)
    assert not {one for one in in_heat if one[1] in ("red", "wet") and one[2] == "present"}
    bled = told({"vulva": "Slit is open, pinkish, a drop of blood"}, book)
    assert {"red", "blood"} <= {one[1] for one in bled if one[2] == "present"}


def test_only_both_crusty_bigger_nipples_are_thickened(book: Knowledge) -> None:
    """Findings table, mammary: crusty or thickened nipples, against a lump at one nipple."""
    both = told({"nipple": "Both a bit crusty and bigger than they used to be"}, book)
    assert ("nipple", "thick", "present") in both
    one = told({"nipple": "Left one swollen, right one fine"}, book)
    assert ("nipple", "swelling", "present") in one


def test_company_of_its_own_sex_is_no_company_of_the_other(book: Knowledge) -> None:
    def events(sex: str) -> tuple[str, ...]:
        history = {"history": "Lives with sows"}
        return read_told(history, also="", duration="", book=book, sex=sex).events

    assert "other_sex_company" not in events("female")
    assert "other_sex_company" in events("male")
    assert "other_sex_company" in events("unknown")


@pytest.mark.parametrize(
    ("said", "days"),
    [
        ("Spayed twelve days back", 12),
        ("Dropped two hours ago", 0),
        ("Fell off the table yesterday", 1),
        ("Had three pups on the 3rd", 12),
        ("Had three pups on the 20th", 26),
        ("Castrated in February", 46),
        ("Off his food for two days", None),
        ("Had a fall", None),
    ],
)
def test_when_it_happened_is_read_from_its_own_words(
    said: str, days: int | None, book: Knowledge
) -> None:
    assert days_ago_in(said, book, date(2025, 4, 15)) == days


@pytest.mark.parametrize(("age", "there"), [("1", False), ("12", True), ("unknown", True)])
def test_a_pups_droppings_are_little(age: str, there: bool, book: Knowledge) -> None:
    case = ToldCase(
        id="pup",
        signalment=ToldSignalment(age_months=age),
        findings={"droppings": "Little but firm"},
    )
    read = {one.finding for one in coded(case, book).case.findings if one.status != Status.ABSENT}
    assert ("small" in read) is there


def test_a_pups_droppings_smaller_than_they_were_count(book: Knowledge) -> None:
    case = ToldCase(
        id="pup",
        signalment=ToldSignalment(age_months="1"),
        findings={"droppings": "Smaller than yesterday"},
    )
    assert "small" in {one.finding for one in coded(case, book).case.findings}


def test_what_another_has_is_contact_and_no_finding_of_its_own(book: Knowledge) -> None:
    history = "Shared a hutch till four days ago with a sow now swabbed positive for ringworm"
    read = read_told({"history": history}, also="", duration="", book=book)
    assert "contact_ringworm" in read.events
    assert "ringworm" not in {one.finding for one, _ in read.findings}
    own = read_told({"history": "Lived with a sow, now he has ringworm"}, also="", duration="",
                    book=book)  # fmt: skip
    assert "ringworm" in {one.finding for one, _ in own.findings}


@pytest.mark.parametrize(("labour", "pregnant"), [("", "no"), ("Straining for an hour", "yes")])
def test_a_sow_whose_pups_are_born_is_pregnant_no_more(
    labour: str, pregnant: str, book: Knowledge
) -> None:
    case = ToldCase(
        id="born",
        signalment=ToldSignalment(sex="female", pregnant="yes"),
        findings={"history": f"Three live pups overnight. {labour}"},
    )
    assert coded(case, book).case.signalment.pregnant == pregnant
