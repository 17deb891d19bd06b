"""Words of the round: why a dose did not simply go in, and what the round is not."""

# One touch each, no keyboard. Guinea pigs cannot vomit: nothing here says so.
WHYS = {
    "given": ["found late", "it was asleep or hiding", "asked the vet first", "another reason"],
    "refused": ["clenched its teeth", "fought too hard", "ran off", "another reason"],
    "spat_out": [
        "all of it, as far as seen",
        "about half of it",
        "a little of it",
        "nobody can say how much",
    ],
    "partly": [
        "about three quarters went in",
        "about half went in",
        "about a quarter went in",
        "nobody can say how much",
    ],
    "not_given": [
        "it seems unwell: the vet is asked first",
        "at the vet",
        "the vet said not to",
        "the bottle is empty",
        "not found in the pen",
        "another reason",
    ],
}
CAUTIONS = [
    "It prescribes nothing: every dose here rests on a vet's order, and what is unclear is the "
    "vet's to decide.",
    "Local law says who may keep and give a medicine, and how it is written down and thrown away.",
    "Wear gloves where the label says so, and keep medicines from your own skin, eyes and mouth: "
    "after accidental contact wash, read the label, and ask a doctor.",
    "By mouth: into the side of the mouth behind the front teeth, in mouthfuls of 0.2 to 0.5 mL, "
    "upright, with time to swallow. Never on its back.",
]
