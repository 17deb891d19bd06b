"""Signs told by what they look like, in everyday words, and what only looks alike.

What is expected is common practice, no source, unless a source is named beside it.
"""

import pytest

from cavyround.commands.told_cases import ToldCase, ToldSignalment, coded
from cavyround.engines.spoken.telling import read_told
from cavyround.facts.observation import Status
from cavyround.knowledge.book import Knowledge

FITS = [
    ("skin", "When I stroked her rump she threw herself over and her legs paddled"),
    ("back", "Touched his back and he flung himself on his side, legs thrashing"),
    ("coat", "Brushed her and she went rigid when I touched the sore bit"),
    ("whole", "Keeled over on his side and his legs were cycling"),
    ("whole", "Dropped on her side with her feet jerking for a minute"),
    ("rump", "Threw himself onto his back, feet pedaling"),
    ("skin", "Scratched, then toppled over and all four legs kicking"),
    ("whole", "Shook all over for half a minute then lay there"),
    ("whole", "Fell on his side and his legs were galloping"),
    ("neck", "Legs just paddled, lasted twenty seconds"),
    ("whole", "Flipped onto her back and her paws flailed"),
    ("whole", "Lay there pedalling"),
]
NO_FITS = [
    ("whole", "Legs kicking about happily, popcorning"),
    ("whole", "Throws himself at the bars for veg"),
    ("whole", "Threw himself about the cage popcorning"),
    ("whole", "Paddles in the water bowl"),
    ("whole", "Legs twitching in her sleep"),
    ("whole", "Twitches his nose at the bars"),
    ("whole", "Flops down on her side for a nap"),
    ("skin", "Kicks her leg when I scratch her rump"),
    ("hind_leg", "Kicked out when I picked him up"),
    ("whole", "Throws herself down in the hay"),
    ("skin", "Shakes his coat after the bath"),
    ("whole", "Stood with his feet in the water dish"),
]
BULGING = [
    "Popped right forward past the lids",
    "Pushed out past her eyelids",
    "He can't blink over it",
    "Lids won't close over it",
    "Eyelids won't meet",
    "White showing all the way round",
    "Eyeball has come out of the socket",
    "Sits way out in front of the lids",
    "Bulged forward beyond the lids",
    "Left one is hanging out on her cheek",
    "Can't shut the lids over it",
]
NOT_BULGING = [
    "Popped wide open when I called",
    "Eyes popped open",
    "Won't open it, lids shut",
    "Lids a bit red",
    "Fur over the lid",
    "White fluid, washed it off",
    "Level with the other, lids close over it",
    "No bulging",
    "Bright, lids clean",
    "Half shut and weepy",
]
BOWLS_LEFT = [
    "Last night's veg and this morning's are both still in the bowl",
    "Hay and pellets still there from yesterday",
    "Both bowls are full, greens and nuggets just as I left them",
    "Breakfast is still in the dish",
    "Supper bowl still full this morning",
    "Salad and hay still sitting there",
    "Yesterday's greens and today's still in the dish",
    "Pellets and grass where I put them",
    "Food bowl still heaped",
    "Turned her head away from cucumber",
    "Pellets still there, not eating hay",
    "Veg still in the bowl, hasn't munched hay either",
    "Dinner still on the plate, hay untouched",
]
BOWLS_EMPTIED = [
    "Veg still in the bowl but he's munching hay",
    "Pellets still there, hay all gone",
    "I always leave the bowl full, she grazes all day",
    "Bowl was full last night and is empty now",
    "Last night's veg is all gone and so is this morning's",
    "Water bowl still full",
    "Cleared last night's bowl and this morning's",
    "Ate his greens, some pellets still in the bowl",
    "Still in the bowl with his nose, eating",
    "Most of breakfast still in the bowl, nibbled the cucumber",
    "Bowl emptied, hay rack empty",
]
SEASON = [
    "Swaying her hips and rumbling",
    "Waggles her bum at the others",
    "Climbing on her friend",
    "Mounting the other sows",
    "Rumbling and swaying",
    "Wiggling her backside, purring",
    "Jumping on her sister's back, rumbling",
    "Humping her cagemate",
    "Swinging her rear end about",
    "Rocking her hips at her mates",
]
NO_SEASON = [
    "Sways when she walks",
    "Swaying and falls over",
    "Climbs on the hay house",
    "Wobbly on her back legs",
    "Rolls over and over",
    "Tummy rumbling",
    "Jumps on the step",
    "Rocks from side to side, can't stand straight",
    "Swaying on her feet, head over to the left",
    "Unsteady, tips over",
]


def there(region: str, words: str, book: Knowledge) -> set[str]:
    read = read_told({region: words}, also="", duration="", book=book)
    return {one.finding for one, _ in read.findings if one.status is Status.PRESENT}


@pytest.mark.parametrize(("region", "words"), FITS)
def test_a_fit_is_heard_wherever_it_was_set_off(region: str, words: str, book: Knowledge) -> None:
    assert "fits" in there(region, words, book)


@pytest.mark.parametrize(("region", "words"), NO_FITS)
def test_play_sleep_and_water_are_no_fit(region: str, words: str, book: Knowledge) -> None:
    assert "fits" not in there(region, words, book)


@pytest.mark.parametrize("words", BULGING)
def test_an_eye_in_front_of_its_lids_bulges(words: str, book: Knowledge) -> None:
    assert "bulging" in there("eye", words, book)


@pytest.mark.parametrize("words", NOT_BULGING)
def test_an_eye_that_opens_or_waters_does_not_bulge(words: str, book: Knowledge) -> None:
    assert "bulging" not in there("eye", words, book)


@pytest.mark.parametrize("words", BOWLS_LEFT)
def test_meals_that_stand_there_still_are_not_eaten(words: str, book: Knowledge) -> None:
    assert "not_eating" in there("appetite", words, book)


@pytest.mark.parametrize("words", BOWLS_EMPTIED)
def test_what_was_eaten_is_not_left(words: str, book: Knowledge) -> None:
    assert "not_eating" not in there("appetite", words, book)


@pytest.mark.parametrize("words", SEASON)
def test_a_sow_that_sways_her_hips_is_in_season(words: str, book: Knowledge) -> None:
    found = there("whole", words, book)
    assert "in_season" in found
    assert "wobbly" not in found


@pytest.mark.parametrize("words", NO_SEASON)
def test_a_sow_that_sways_on_her_feet_is_not(words: str, book: Knowledge) -> None:
    assert "in_season" not in there("whole", words, book)


@pytest.mark.parametrize(
    ("vulva", "left"),
    [
        ("Slightly puffy, pink and damp, open a little", set()),
        ("Slightly puffy, open, a drop of blood", {"swelling", "blood"}),
    ],
)
def test_the_vulva_of_a_sow_in_season_is_open_pink_and_moist(
    vulva: str, left: set[str], book: Knowledge
) -> None:
    """Findings table, perineum_female: "small open or pink, moist vulva without blood"."""
    told = {"vulva": vulva, "whole": "Swaying her hips, mounting her friend"}
    read = read_told(told, also="", duration="", book=book)
    found = {one.finding for one, _ in read.findings if one.status is Status.PRESENT}
    assert found & {"swelling", "wet", "red", "blood"} >= left
    assert left or not found & {"swelling", "wet", "red", "blood"}


def labour(findings: dict[str, str], pregnant: str, book: Knowledge) -> bool:
    animal = ToldSignalment(sex="female", neutered="no", age_months="14", pregnant=pregnant)
    case = ToldCase(id="sow", signalment=animal, findings=findings)
    return "straining_birth" in {
        one.finding for one in coded(case, book).case.findings if one.status is not Status.ABSENT
    }


@pytest.mark.parametrize(
    "words",
    [
        "Down on her belly pushing, stops, starts again",
        "Straining on and off, looks worn out",
        "Pushing hard, nothing to show",
        "Pushing and straining, then rests",
        "Bearing down every few minutes",
        "Having contractions",
        "Keeps straining and resting",
        "In labour since dinner",
        "Contracting, then lies flat",
        "Pushing and licking underneath",
    ],
)
def test_a_pregnant_sow_that_pushes_is_in_labour(words: str, book: Knowledge) -> None:
    assert labour({"whole": words}, "yes", book)


@pytest.mark.parametrize(
    ("region", "words", "pregnant"),
    [
        ("urine", "Straining, a few drops", "yes"),
        ("whole", "Straining to wee", "yes"),
        ("whole", "Pushing to pee, squeaks", "yes"),
        ("droppings", "Straining", "yes"),
        ("whole", "Straining on and off", "no"),
        ("whole", "Pushing the others off the hay", "yes"),
        ("vulva", "Clean, no baby yet", "yes"),
        ("whole", "Heaving belly full of pups, eating", "yes"),
    ],
)
def test_who_strains_at_urine_or_carries_nothing_is_not(
    region: str, words: str, pregnant: str, book: Knowledge
) -> None:
    assert not labour({region: words}, pregnant, book)


@pytest.mark.parametrize(
    ("region", "words", "finding"),
    [
        ("droppings", "Clumped, nothing runny", "none_passed"),
        ("droppings", "A bit soft, nothing slimy, nothing bloody", "none_passed"),
        ("droppings", "Nothing alarming, just soft", "none_passed"),
        ("coat", "Rough and dull", "lethargic"),
        ("skin", "Scar lies flat and not red", "lethargic"),
        ("grease_gland", "Waxy where a tail would be, skin flat and not red", "lethargic"),
        ("grease_gland", "Waxy where a tail would be, skin flat and not red", "red"),
        ("urine", "Dries like plaster, thick and white", "thick"),
        ("perineal_sac", "Ball of soft poo the size of a grape", "lump"),
        ("perineal_sac", "Clump of muck as big as a marble came out", "lump"),
        ("vulva", "Dried blood on the hair", "debris"),
        ("whole", "Bright, no squeaking when she goes", "quiet"),
        ("whole", "Lively, doesn't squeal when he wees", "straining"),
    ],
)
def test_a_word_of_the_place_is_no_sign_of_the_animal(
    region: str, words: str, finding: str, book: Knowledge
) -> None:
    assert finding not in there(region, words, book)


@pytest.mark.parametrize(
    ("region", "words", "finding"),
    [
        ("droppings", "Nothing since last night", "none_passed"),
        ("droppings", "Nothing at all, no blood", "none_passed"),
        ("droppings", "None, nothing runny either", "none_passed"),
        ("whole", "Dull and hunched", "lethargic"),
        ("whole", "Flat and not eating", "lethargic"),
        ("coat", "He's flat and dull", "lethargic"),
        ("grease_gland", "Red and sore", "red"),
        ("skin", "Thick and crusty on the back", "thick"),
        ("perineal_sac", "Clump of poo, and a hard lump like a grape beside it", "lump"),
        ("perineal_sac", "Lump the size of a grape", "lump"),
        ("vulva", "Hair and bedding stuck in the folds", "debris"),
        ("whole", "Quiet, squeaks when she wees", "quiet"),
        ("vulva", "A pink spot or two on the towel after she wees", "blood"),
        ("droppings", "Nothing, not even a soft one", "none_passed"),
        ("hind_foot", "Both heels pink and shiny, skin whole", "red"),
        ("whole", "Never sits still, always on the go", "restless"),
    ],
)
def test_the_same_word_of_the_animal_is_one(
    region: str, words: str, finding: str, book: Knowledge
) -> None:
    assert finding in there(region, words, book)
