"""What each word of a note is to be answered."""

from training.labelled import Labelled, labelled, unaided
from training.marked import marked_compact, with_proper_names
from training.worked import marked_worked

from tests.training.notes_for_tests import ONE, TWO
from training import codes


def _labels_of_two() -> Labelled:
    example = marked_compact(TWO)
    return labelled(example, example.pen)


def test_a_sign_is_tied_to_its_own_word_with_place_side_and_owner() -> None:
    labels = _labels_of_two()
    told = {
        (labels.words[one.at], one.finding, one.side, one.status, *one.regions, *one.owners)
        for one in labels.signs
    }
    assert told == {
        ("crusty", "crust", "L", "p", "ear", 0),
        ("one", "normal", "R", "p", "ear", 0),
        ("eight", "weight", "N", "p", "whole", 1),
        ("fifteen", "weight_change", "N", "p", "whole", 1),
        ("crusts", "crust", "N", "a", "skin", 1),
    }


def test_a_loss_is_known_from_a_gain() -> None:
    change = next(one for one in _labels_of_two().signs if one.finding == "weight_change")
    assert codes.CHANGES[change.change] == "loss"


def test_care_blanket_skipped_step_and_history_are_at_their_words() -> None:
    labels = _labels_of_two()
    assert [(labels.words[one.at], one.care, one.status) for one in labels.care] == [
        ("clipped", "nail_trim", "done")
    ]
    assert [(labels.words[at], step) for at, _, step in labels.skipped] == [("Didn't", "belly")]
    assert [labels.words[at] for at, _ in labels.left_out] == ["had", "a", "cough"]
    one = labelled(marked_compact(ONE), ())
    assert [one.words[at] for at, _ in one.blankets] == ["Rest", "of", "her", "is", "fine"]


def test_every_naming_is_found_and_a_name_of_two_words_is_one() -> None:
    labels = _labels_of_two()
    named = [(labels.words[begin:end], animal) for begin, end, animal in labels.named]
    assert named == [(("Biscuit",), 0), (("Biscuit's",), 0), (("Mr", "Toff"), 1)]


def test_unaided_the_words_keep_what_they_may_mean_and_lose_what_the_rules_filed() -> None:
    labels = _labels_of_two()
    at = labels.words.index("crusty")
    assert {"f:crust", "f@ear", "f/L", "f=present", "used"} <= set(labels.hints[at])
    alone = unaided(labels)
    assert set(labels.hints[at]) - set(alone.hints[at]) == {
        *("f:crust", "f@ear", "f/L", "f=present", "used")
    }
    assert "sign:crust" in alone.hints[at]
    assert alone.signs == labels.signs


def test_an_optional_finding_is_not_scored_and_teaches_nothing() -> None:
    note = {**ONE, "an": [{**ONE["an"][0], "f": ["?flank.L.bald_patch.p | bald patch"]}]}
    labels = labelled(marked_compact(note), ())
    assert labels.signs == []
    assert [labels.words[at] for at in labels.unscored] == ["bald"]
    assert not labels.used


def test_one_word_may_carry_a_sign_of_several_places_and_animals() -> None:
    note = {
        "t": "Pip and Squeak, no crusts in the eyes or nose.",
        "an": [
            {"n": name, "c": [name], "f": ["eye.B.crust.a | crusts", "nose.B.crust.a | crusts"]}
            for name in ("Pip", "Squeak")
        ],
    }
    labels = labelled(marked_compact(note), ())
    assert [(one.regions, one.owners) for one in labels.signs] == [({"eye", "nose"}, {0, 1})]


def test_an_animal_with_a_name_is_not_named_by_other_words() -> None:
    note = {
        "t": "The brown one, Pip, is bright. The grey one is quiet.",
        "an": [
            {"n": "Pip", "c": ["Pip", "brown one"], "f": ["whole.N.bright.p | bright"]},
            {"n": "unnamed grey", "c": ["grey one"], "f": ["whole.N.quiet.p | quiet"]},
        ],
    }
    example = with_proper_names(marked_compact(note))
    words = [example.text[one.place[0] : one.place[1]] for one in example.named]
    assert words == ["Pip", "grey one"]
    assert example.pen == ("Pip",)


def test_the_words_of_a_worked_note_are_found_where_the_rules_read_the_same() -> None:
    note = {
        "text": "Pip seven eighty, left eye weeping.",
        "animals": [
            {
                "animal": "Pip",
                "findings": [
                    {
                        "region": "whole",
                        "side": "N",
                        "finding": "weight",
                        "status": "present",
                        "value_g": 780.0,
                    },
                    {"region": "eye", "side": "L", "finding": "watery", "status": "present"},
                    {"region": "nose", "side": "N", "finding": "wet", "status": "present"},
                ],
                "care": [],
                "blanket": "no",
            }
        ],
    }
    example = marked_worked(note)
    told = {(one.finding, example.text[slice(*one.place)]) for one in example.signs}
    assert told == {("weight", "seven"), ("watery", "weeping")}
    assert example.missed == 1, "nobody said anything of the nose"
