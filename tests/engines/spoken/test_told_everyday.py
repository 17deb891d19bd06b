"""Everyday words of a told case that were misread: what they mean, and what only sounds alike.

What is expected is common practice, no source, unless a source is named beside it.
"""

import pytest

from cavyround.commands.told_cases import ToldCase, ToldSignalment, coded
from cavyround.engines.spoken.telling import read_told
from cavyround.facts.observation import Status
from cavyround.knowledge.book import Knowledge


def there(region: str, words: str, book: Knowledge) -> set[str]:
    read = read_told({region: words}, also="", duration="", book=book)
    return {one.finding for one, _ in read.findings if one.status is Status.PRESENT}


def happened(words: str, book: Knowledge) -> tuple[str, ...]:
    return read_told({"history": words}, also="", duration="", book=book).events


@pytest.mark.parametrize(
    ("region", "words", "finding"),
    [
        ("condition", "Round as a ball, no waist, belly brushes the floor", "overweight"),
        ("condition", "Big as a house, double chin", "overweight"),
        ("belly", "Round as a football and tight", "bloated"),
        ("whole", "Belly as round as a drum", "bloated"),
        ("whole", "Sat round as a ball in the corner", "hunched"),
        ("whole", "Looking a bit slim", "thin"),
        ("legs_gait", "Takes a few steps to get going", "stiff"),
        ("legs_gait", "Has given up the ramp", "stiff"),
        ("whole", "Given up", "collapsed"),
        ("appetite", "Picks things up and lets them drop", "drops_food"),
        ("appetite", "Tries the hay and lets it fall", "drops_food"),
        ("appetite", "Hasn't eaten since we brought him home", "not_eating"),
        ("chin", "Fur has gone yellow", "stained"),
        ("chin", "Fur gone on the chin", "bald_patch"),
        ("coat", "Thin whitish creepy-crawlies scurrying between the hairs", "lice"),
        ("coat", "Coat thin on the back", "thin_hair"),
        ("skin", "Licking at his side constantly", "scratching"),
        ("belly", "Cut has come apart a little", "wound"),
        ("belly", "Stitches have popped", "wound"),
        ("testicle", "Cut is open again and oozing", "wound"),
        ("belly", "A little yellowish wetness along it", "discharge"),
        ("belly", "I felt something kick on the right", "moving_pups"),
        ("belly", "Sunken in, skin wrinkly", "wrinkled_belly"),
        ("whole", "Floppy and cold when I picked her up", "cold"),
        ("eye", "Both have gone milky white behind the black bit", "lens_cloudy"),
        ("perineal_sac", "Soft smelly clump in the pocket", "impacted"),
        ("vulva", "Blood dripping from her back end", "blood"),
        ("skin", "Had mites in the spring and they are back", "mites"),
        ("whole", "Pup is cold and limp", "collapsed"),
        ("whole", "Pup is cold and limp", "cold"),
        ("whole", "Lying on his side, won't get up", "collapsed"),
        ("front_teeth", "Broke one this morning", "broken"),
        ("belly", "Wheezing when I press it", "noisy"),
        ("droppings", "Tray was empty this morning", "none_passed"),
        ("appetite", "Left his hay and pellets untouched", "not_eating"),
        ("coat", "Had lice in March, treated, but crawling again today", "lice"),
    ],
)
def test_an_everyday_wording_is_heard(
    region: str, words: str, finding: str, book: Knowledge
) -> None:
    assert finding in there(region, words, book)


@pytest.mark.parametrize(
    ("region", "words", "finding"),
    [
        ("whole", "Round as a ball and happy", "hunched"),
        ("whole", "Slim", "thin"),
        ("legs_gait", "Has given up the ramp", "collapsed"),
        ("appetite", "Let the kids feed her, ate it all", "drops_food"),
        ("appetite", "Just licks at the water spout", "scratching"),
        ("penis", "Keeps licking at it", "scratching"),
        ("appetite", "Sister shoves her off the pellets", "eating_less"),
        ("whole", "Smaller than her sister, playful", "eating_less"),
        ("whole", "The other three are fat and running about", "overweight"),
        ("chin", "Fur has gone yellow", "bald_patch"),
        ("coat", "Muzzle going grey round the edges", "stained"),
        ("coat", "Thin whitish bugs crawling about", "thin_hair"),
        ("skin", "Parted the hair everywhere, all pink", "moulting"),
        ("coat", "Caught Bella chewing his fur", "scratching"),
        ("testicle", "Wound dry and closed", "wound"),
        ("belly", "Incision neat, stitches have gone", "wound"),
        ("skin", "Scar from her spay all healed and flat", "lethargic"),
        ("eye", "A drop of white milky stuff came out of both eyes, then gone", "discharge"),
        ("coat", "Had lice back in July, treated, combed her today and nothing", "lice"),
        ("history", "Lice last May, treated three times, clear ever since", "lice"),
        ("history", "An abscess as a baby, healed", "abscess"),
        ("appetite", "Only wants cucumber, leaves her hay", "not_eating"),
        ("droppings", "Tray was empty because I'd just cleaned it", "none_passed"),
        ("breathing", "Heater makes a hissing noise, he's fine", "noisy"),
        ("skin", "Peach fuzz coming back where she was bald", "bald_patch"),
        ("whole", "Stretched out asleep on his side", "collapsed"),
        ("belly", "Gurgly but soft", "noisy"),
        ("front_teeth", "Broke one last month, grown back", "broken"),
    ],
)
def test_what_only_sounds_like_it_is_not_heard(
    region: str, words: str, finding: str, book: Knowledge
) -> None:
    assert finding not in there(region, words, book)


@pytest.mark.parametrize(
    ("words", "event"),
    [
        ("Day 5 of the antibiotic syrup from the vet", "antibiotic"),
        ("Brought him home from his neuter the day before yesterday", "surgery"),
        ("Got home from her spay yesterday", "surgery"),
    ],
)
def test_what_was_done_to_it_is_heard(words: str, event: str, book: Knowledge) -> None:
    assert event in happened(words, book)


@pytest.mark.parametrize("words", ["Fell asleep on my lap", "Came off his antibiotics on Friday"])
def test_not_every_fall_is_one(words: str, book: Knowledge) -> None:
    assert "fall_or_blow" not in happened(words, book)
    assert "fall_or_blow" in happened("Fell off my lap", book)


def test_a_scar_of_an_operation_tells_of_no_operation_now(book: Knowledge) -> None:
    assert "surgery" not in happened("Scar from her spay is flat", book)
    assert "surgery" in happened("Scar from her spay four days ago is red", book)


def test_what_a_medicine_is_given_for_is_answered_by_today(book: Knowledge) -> None:
    reason = "On day 4 of the vet's antibiotic for a scratched eye"
    now = {"history": reason, "eye": "Clear, wide open"}
    read = read_told(now, also="", duration="", book=book)
    assert "eye_spot" not in {one.finding for one, _ in read.findings}
    read = read_told({"history": reason}, also="", duration="", book=book)
    assert "eye_spot" in {one.finding for one, _ in read.findings}


def test_unsteadiness_beside_a_tilted_head_is_of_the_balance(book: Knowledge) -> None:
    """Findings table, neuro: head tilt; circling or loss of balance."""
    tilted = {"head": "Holding his head over to the right", "legs_gait": "A bit wonky on corners"}
    read = read_told(tilted, also="", duration="", book=book)
    assert {one.region for one, _ in read.findings if one.finding == "wobbly"} == {"whole"}
    read = read_told({"legs_gait": tilted["legs_gait"]}, also="", duration="", book=book)
    assert {one.region for one, _ in read.findings if one.finding == "wobbly"} == {"hind_leg"}


@pytest.mark.parametrize(
    ("belly", "bloated"),
    [("Nice round tummy", False), ("Round and hard, tight as a drum", True)],
)
def test_the_full_belly_of_a_pup_is_no_bloat(belly: str, bloated: bool, book: Knowledge) -> None:
    case = ToldCase(
        id="pup", signalment=ToldSignalment(age_months="0.2"), findings={"whole": belly}
    )
    found = {one.finding for one in coded(case, book).case.findings}
    assert ("bloated" in found) is bloated
