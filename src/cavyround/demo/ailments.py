"""What ailed single animals, and how it went."""

from decimal import Decimal
from typing import Any

from cavyround.demo.happenings import asks, judged_harmless, moves
from cavyround.demo.story import Again, Closeup, Story
from cavyround.record.promises import Judged

VET = "Dr Imre Pell"


def seen(region: str, finding: str, side: str = "N", **more: Any) -> dict[str, Any]:
    """A finding as the check screen sends it."""
    return {"region": region, "finding": finding, "side": side, **more}


def tell_ailments(story: Story) -> None:
    """All of them."""
    for tell in (_thinning, _sac, _bladder, _sole, _nail, _ear, _bite):
        tell(story)
    _sneezes(story)
    _harmless_marks(story)
    _half_done_nails(story)


def _thinning(story: Story) -> None:
    """Saffron loses weight for six weeks; yesterday her chin was wet."""
    story.visit("saffron", 14, notes=["Lighter again. Eats, but leaves the hard bits."])
    asks(
        story,
        "saffron",
        14,
        "Saffron has lost more than five per cent in a month. Front teeth look even. See her?",
        "Weigh her twice a week and watch her chew. Bring her if it goes on or if she dribbles.",
        13,
    )
    story.visit("saffron", 11, "weigh_in")
    story.visit("saffron", 7, found=[seen("appetite", "drops_food", grade="slight")]).again.append(
        Again(days=3, words="weigh again; does she still drop food?")
    )
    weighed = story.visit("saffron", 4, "weigh_in")
    weighed.settles, weighed.settled_because = "worse", "Lighter again; full check brought forward."
    found = [seen("chin", "wet", grade="moderate"), seen("appetite", "drops_food", grade="worse")]
    yesterday = story.visit("saffron", 1, found=found, notes=["Chews on the left only."])
    yesterday.photos.append(Closeup("wet_chin", "Chin wet, hair in strands"))
    yesterday.again.append(
        Again(
            days=1,
            words="wet chin, eating, weight; vet at half past four",
            where=("chin", "wet", "N"),
        )
    )
    asks(
        story,
        "saffron",
        1,
        "Saffron dribbles since today and drops pellets. She has lost ten per cent in six weeks.",
        "Bring her tomorrow at half past four; I will look at the cheek teeth under sedation. "
        "Keep her eating until then, and bring Sorrel along.",
        1,
    )
    moves(story, "saffron", 1, "sick", "to see what she eats")
    moves(story, "sorrel", 1, "sick", "company for Saffron")


def _sac(story: Story) -> None:
    """Old Barnaby's pocket fills faster than it did."""
    clean = {
        "care": "sac_clean",
        "product": "plain oil",
        "detail": "gloves; swab, washed and dried",
    }
    for ago in (70, 49, 35, 21, 14):
        found = [seen("perineal_sac", "impacted", kinds=["soft_clumps"])]
        story.visit("barnaby", ago, found=found, care=[clean]).again.append(
            Again(days=3, words="is the sac full again?", where=("perineal_sac", "impacted", "N"))
        )
        empty = [seen("perineal_sac", "impacted", status="absent")]
        story.visit("barnaby", ago - 3, "recheck", found=empty).settles = "gone"
    found = [seen("perineal_sac", "impacted", kinds=["soft_clumps"])]
    story.visit("barnaby", 7, found=found, care=[clean]).again.append(
        Again(days=7, words="clean the sac", where=("perineal_sac", "impacted", "N"))
    )


def _bladder(story: Story) -> None:
    """Tansy had a stone last year."""
    story.visit("tansy", 331, found=[seen("urine", "blood", kinds=["drops"])]).again.append(
        Again(days=1, words="blood in the urine?", where=("urine", "blood", "N"))
    )
    asks(
        story,
        "tansy",
        331,
        "Pink drops on the towel, and she sat a long time. Today or tomorrow?",
        "Today. X-ray shows one small stone low down; taken out under sedation. "
        "Feel her urinary opening at every check from now on.",
        330,
    )
    stone = [{"what": "stone_known", "on": story.clock.day(330).isoformat(), "note": "taken out"}]
    clear = [seen("urine", "blood", status="absent")]
    story.visit("tansy", 328, "recheck", found=clear, told=stone).settles = "gone"
    story.visit("tansy", 151, found=[seen("urine", "gritty", grade="slight")]).again.append(
        Again(days=3, words="is the urine gritty?", where=("urine", "gritty", "N"))
    )
    asks(
        story,
        "tansy",
        151,
        "Some grit dried on her towel, no blood, passes freely. She had the stone last year.",
        "Seen: no stone felt, none on the X-ray. More water on her greens; look again in three "
        "days.",
        150,
    )
    clear = [seen("urine", "gritty", status="absent")]
    story.visit("tansy", 148, "recheck", found=clear).settles = "gone"


def _sole(story: Story) -> None:
    """Cob's sole is healing."""

    def sole(of_5: str, **more: Any) -> list[dict[str, Any]]:
        return [seen("hind_foot", "sore", "L", value=of_5, unit="of_5", kinds=["scab"], **more)]

    where = ("hind_foot", "sore", "L")
    first = story.visit("cob", 40, found=sole("2"))
    first.photos.append(Closeup("sore_sole", "Left hind sole, scab in the middle"))
    first.again.append(Again(days=2, words="is the left sole better?", where=where))
    asks(
        story,
        "cob",
        40,
        "Scab on Cob's left hind sole, about 4 mm, red round it. Walks on it.",
        "Seen. Soft fleece over everything, rinse with saline, keep the scab on. Look every few "
        "days.",
        39,
    )
    soak = [{"care": "foot_soak", "side": "L", "detail": "saline, patted dry"}]
    for ago, value, days in ((38, "2", 6), (32, "2", 7), (25, "1", 7), (18, "1", 6), (12, "1", 7)):
        look = story.visit("cob", ago, "recheck", found=sole(value, grade="healing"), care=soak)
        look.settles = "better"
        look.again.append(Again(days=days, words="is the left sole still better?", where=where))
    last = story.visit("cob", 5, found=sole("1", grade="healing"), care=soak)
    last.settles = "better"
    last.again.append(Again(days=5, words="left sole: has the scab come off?", where=where))


def _nail(story: Story) -> None:
    """Teasel tore a nail four days ago."""
    where = ("nails", "torn", "R")
    stopped = {
        "care": "nail_stop_bleed",
        "side": "R",
        "product": "cornflour",
        "detail": "right forefoot, outer nail; stopped after two minutes",
    }
    torn = [seen("nails", "torn", "R", kinds=["fresh"])]
    story.visit("teasel", 4, found=torn, care=[stopped]).again.append(
        Again(days=1, words="torn nail, right forefoot: dry?", where=where)
    )
    look = story.visit("teasel", 3, "recheck", found=[seen("nails", "torn", "R", grade="healing")])
    look.settles = "better"
    look.again.append(Again(days=3, words="torn nail, right forefoot: dry and cool?", where=where))


def _ear(story: Story) -> None:
    """Bilberry's dark wax."""
    where = ("ear", "wax", "R")
    wiped = {"care": "ear_wipe", "side": "R", "product": "plain oil", "detail": "outer ear only"}
    dark = [seen("ear", "wax", "R", kinds=["dark"])]
    first = story.visit("bilberry", 19, found=dark, care=[wiped])
    first.photos.append(Closeup("waxy_ear", "Right ear, dark wax"))
    first.again.append(Again(days=2, words="has dark wax come back?", where=where))
    look = story.visit(
        "bilberry", 17, "recheck", found=[seen("ear", "wax", "R", grade="healing")], care=[wiped]
    )
    look.settles = "better"
    look.again.append(Again(days=5, words="is the right ear clean?", where=where))
    clean = [seen("ear", "wax", "R", status="absent")]
    story.visit("bilberry", 12, found=clean).settles = "gone"


def _bite(story: Story) -> None:
    """A quarrel in the Meadow run."""
    where = ("shoulder", "bite", "L")
    nip = [seen("shoulder", "bite", "L", kinds=["small", "by_guinea_pig"])]
    place = {
        "step": "chest_back",
        "view": "above",
        "x": 372,
        "y": 430,
        "size_mm": "4",
        "words": "nip, skin just open",
    }
    cleaned = [{"care": "wound_clean", "side": "L", "product": "saline"}]
    story.visit("lovage", 79, found=nip, places=[place], care=cleaned).again.append(
        Again(days=1, words="nip on the left shoulder: dry, cool?", where=where)
    )
    look = story.visit(
        "lovage", 78, "recheck", found=[seen("shoulder", "bite", "L", grade="healing")]
    )
    look.settles = "better"
    look.again.append(Again(days=4, words="nip on the left shoulder: gone?", where=where))
    gone = [seen("shoulder", "bite", "L", status="absent")]
    story.visit("lovage", 74, "recheck", found=gone).settles = "gone"


def _sneezes(story: Story) -> None:
    """Hay dust, as it turned out."""
    story.visit("sorrel", 121, found=[seen("breathing", "sneezing", grade="slight")]).again.append(
        Again(days=1, words="still sneezing?", where=("breathing", "sneezing", "N"))
    )
    quiet = [seen("breathing", "sneezing", status="absent")]
    story.visit(
        "sorrel", 120, "recheck", found=quiet, notes=["New hay, dusty bale."]
    ).settles = "gone"


def _harmless_marks(story: Story) -> None:
    """Things the vet has seen and judged harmless."""
    marks = (
        ("bramley", 398, "chin", "lump", "L", "18", "soft fatty lump under the chin", (455, 150)),
        ("bramley", 398, "belly", "lump", "M", "26", "fatty pad in the belly skin", (505, 560)),
        ("clementine", 301, "groin", "lump", "R", "12", "soft fatty lump in the groin", (610, 760)),
        ("wilf", 214, "eye", "lens_cloudy", "L", None, "clouded lens, sees light", None),
        ("myrtle", 131, "eye", "fatty_lid", "R", None, "fatty lower lid", None),
    )
    for key, ago, region, finding, side, size, words, place in marks:
        judged = Judged(
            region=region,
            finding=finding,
            side=side,
            size_mm=Decimal(size) if size else None,
            words=words,
            said_by=VET,
            said_on=story.clock.day(ago),
            view="below" if place else "",
            x=place[0] if place else None,
            y=place[1] if place else None,
        )
        judged_harmless(story, key, ago, judged)
    kinds = {"kinds": ["soft", "movable"], "value": "18", "unit": "mm"}
    story.visit("bramley", 400, found=[seen("chin", "lump", "L", **kinds)])
    asks(
        story,
        "bramley",
        400,
        "A soft lump under Bramley's chin, 18 mm, and a flatter one in the belly skin. Fat?",
        "Yes, both. Fatty, loose, harmless. Tell me if one hardens, reddens or grows.",
        399,
    )


def _half_done_nails(story: Story) -> None:
    """A promise that has been forgotten for two days."""
    part = {"care": "nail_trim", "status": "partly", "detail": "front feet; had enough of it"}
    long = [seen("nails", "overgrown", "B", grade="slight")]
    story.visit("bramley", 14, found=long, care=[part]).again.append(
        Again(days=12, words="hind nails still to be cut")
    )
