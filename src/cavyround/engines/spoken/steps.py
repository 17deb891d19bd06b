"""The step of the check a finding counts for."""

from cavyround.knowledge.book import Knowledge

# A step of its own whatever the region (vocabulary, section 2, exceptions).
OF_ITS_OWN = {
    "weight": "weight",
    "weight_change": "weight",
    "body_condition": "condition",
    "thin": "condition",
    "overweight": "condition",
    "limp": "legs_gait",
    "wobbly": "legs_gait",
    "stiff": "legs_gait",
    "dragging_legs": "legs_gait",
    "reluctant_to_move": "legs_gait",
    "circling": "legs_gait",
    "scratching": "skin",
    "in_season": "genitals",
    "sex_male": "genitals",
    "sex_female": "genitals",
    "breath_rate": "breathing",
    "pregnant": "",
    "temperature": "",
    "heart_rate": "",
}
OF_COAT = frozenset(
    {
        "bald_patch",
        "thin_hair",
        "broken_hair",
        "moulting",
        "matted",
        "dull",
        "lice",
        "nits",
        "mites",
        "fleas",
        "flaky",
        "greasy",
    }
)


def step_of(region: str, finding: str, book: Knowledge) -> str:
    """The step a finding counts for; empty for none."""
    if finding in OF_ITS_OWN:
        return OF_ITS_OWN[finding]
    if finding in OF_COAT and region in ("whole", "skin") and finding not in ("flaky", "mites"):
        return "coat"
    return book.step_of(region)
