"""The areas of the findings in words, in the order of a check."""

from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.rules import Rule

AREAS: dict[str, str] = {
    "distance_behaviour": "From a distance: manner and eating",
    "breathing": "Breathing",
    "gait_limbs": "Walk, legs and joints",
    "neuro": "Balance and nerves",
    "weight": "Weight",
    "body_condition": "Body condition",
    "hydration_temperature": "Water and warmth",
    "nose": "Nose",
    "eyes": "Eyes and lids",
    "ears": "Ears",
    "mouth": "Mouth and teeth",
    "head_neck_nodes": "Head, neck and nodes",
    "coat_skin": "Coat and skin",
    "ectoparasites": "Lice, mites and other small life",
    "lumps_body_wall": "Lumps and body wall",
    "feet_nails": "Feet and nails",
    "grease_gland": "Grease gland",
    "abdomen": "Belly",
    "mammary": "Nipples and milk glands",
    "perineum_female": "Under the tail: sows",
    "perineum_male": "Under the tail: boars",
    "droppings": "Droppings",
    "urine": "Urine",
    "pregnancy_birth_neonate": "Pregnancy, birth and new-born pups",
    "other": "Anything else",
}


COMBINATION = "combination"


def is_combination(rule: Rule) -> bool:
    """Whether a rule joins findings, or a finding with what is known of the animal."""
    return rule.area == COMBINATION


def is_addition(rule: Rule) -> bool:
    """Whether a combination is our own, beside those of the findings' tables."""
    return is_combination(rule) and rule.id.startswith("C")


def area_words(code: str) -> str:
    """An area's words; an area of a new file reads as its code until it has some."""
    return AREAS.get(code, code.replace("_", " ").capitalize())


def areas_of(book: Knowledge) -> tuple[str, ...]:
    """The areas that have findings, in the order of a check, new ones last."""
    there = dict.fromkeys(rule.area for rule in book.rules if not is_combination(rule))
    known = [area for area in AREAS if area in there]
    return (*known, *(area for area in there if area not in AREAS))
