"""The check screen's own reckoning on the phone: sides, doubts, turns, clocks, who records."""

from typing import Any

import pytest

from cavyround.facts.entries import SAID_AT_TABLE, read_touch
from cavyround.facts.observation import Side, sides_agree
from cavyround.facts.sitting import fold
from tests.builders import found, made
from tests.web.client import say

BOUNDS = {"lightest": 20, "heaviest": 4000, "reweigh_within_g": 10}
LUMP = {"region": "flank", "finding": "lump"}


def app(**carried: Any) -> dict[str, Any]:
    """A check in which one lump is known from before."""
    step = {"code": "chest_back", "carried": [LUMP | {"side": "L"} | carried]}
    holds = [{"code": "standing", "steps": [step]}]
    return {"round": {"findings": {}}, "session": {"animal": {"checked_before": True}}, "of": holds}


SINCE = "app.holds = () => app.of; return (await use('ways')).sinceLast(app, touch);"


@pytest.mark.parametrize(
    ("known", "seen", "says"),
    [
        ("L", "R", "new"),
        ("L", "L", "same"),
        ("L", "N", "same"),
        ("N", "R", "same"),
        ("B", "R", "same"),
        ("L", "B", "same"),
    ],
)
def test_a_known_left_lump_does_not_make_a_right_one_old(known: str, seen: str, says: str) -> None:
    touch = found("lump", "flank", "chest_back", side=seen)
    assert say(SINCE, app=app(side=known), touch=touch) == says


def test_sides_agree_on_the_phone_as_they_do_on_the_server() -> None:
    sides = [str(side) for side in Side]
    said = say(
        "const { sidesAgree } = await use('ways');"
        "return sides.map((one) => sides.map((other) => sidesAgree(one, other)));",
        sides=sides,
    )
    assert said == [[sides_agree(one, other) for other in sides] for one in sides]


@pytest.mark.parametrize(
    ("more", "says"),
    [({"grade": "worse"}, "bigger"), ({"grade": "same"}, "same"), ({"status": "absent"}, "gone")],
)
def test_the_answer_about_what_is_known_says_what_became_of_it(
    more: dict[str, str], says: str
) -> None:
    touch = found("lump", "flank", "chest_back", side="L", **more)
    assert say(SINCE, app=app(), touch=touch) == says


def test_at_a_first_check_nothing_is_called_new() -> None:
    first = app()
    first["session"]["animal"]["checked_before"] = False
    assert say(SINCE, app=first, touch=found("lump", "flank", "chest_back", side="R")) == ""


@pytest.mark.parametrize(("second", "agree"), [(705, True), (710, True), (711, False)])
def test_a_second_reading_confirms_the_first_within_ten_grams(second: int, agree: bool) -> None:
    said = say(
        "return (await use('weighing')).agrees(second, { grams: 700 }, bounds);",
        second=second,
        bounds=BOUNDS,
    )
    assert said is agree


def test_the_steps_on_the_screens_are_sent_without_those_left_out() -> None:
    holds = [
        {"steps": [{"code": "eyes"}, {"code": "teeth", "left_out": "sore mouth"}]},
        {"steps": [{"code": "weight"}], "not_now": "it gasps"},
    ]
    animal = {"id": "a", "plan": {"holds": holds}}
    said = say(
        "const { Session } = await use('session');"
        "return Session.begin(null, animal, 'full').check.planned;",
        animal=animal,
    )
    assert said == ["eyes", "weight"]


@pytest.mark.parametrize(
    ("before", "more", "only_more"),
    [
        ({}, {"grade": "marked"}, True),
        ({"side": "N"}, {"side": "L"}, True),
        ({"kinds": ["soft"]}, {"kinds": ["soft", "movable"]}, True),
        ({"grade": "slight"}, {"value": 10, "unit": "mm"}, True),
        ({"grade": "slight"}, {"grade": "marked"}, False),
        ({"kinds": ["soft"]}, {"kinds": []}, False),
        ({"grade": "same"}, {"grade": None, "status": "absent"}, False),
    ],
)
def test_saying_more_is_no_correction_and_saying_otherwise_is(
    before: dict[str, Any], more: dict[str, Any], only_more: bool
) -> None:
    first = made(found("lump", "flank", "chest_back", **before))
    touch = say(
        "return (await use('session')).moreSaid(one, more);",
        one={"id": str(first.id), "touch": found("lump", "flank", "chest_back", **before)},
        more=more,
    )
    (kept,) = fold([first, made(read_touch(touch).model_dump(mode="json"))]).found
    assert touch.get("more", False) is only_more
    assert kept.corrected is not only_more


def test_the_phone_folds_what_was_corrected_as_the_server_does() -> None:
    one = found("lump", "flank", "chest_back")
    first = made(one)
    entry = str(first.id)
    more = {"kind": "correction", "entry": entry, "reason": "more said", "more": True, "data": one}
    other = {"kind": "correction", "entry": entry, "reason": "the other side", "data": one}
    anew = {**more, "reason": "said anew at the table", "data": {**one, "grade": "marked"}}
    del anew["more"]
    for touches in ([more], [other], [more, other], [other, more], [other, anew], [anew, more]):
        log = [first, *(made(touch) for touch in touches)]
        sent = [
            {"id": str(m.id), "made_at": "", "touch": t}
            for m, t in zip(log, [one, *touches], strict=True)
        ]
        said = say("return (await use('fold')).fold(log).found;", log=sent)
        assert [kept["corrected"] for kept in said] == [k.corrected for k in fold(log).found]
        assert [k["touch"].get("grade") for k in said] == [k.touch.grade for k in fold(log).found]


def test_the_phone_gives_the_reasons_the_record_knows_as_said_at_the_table() -> None:
    said = say("const { SAID_MORE, SAID_ANEW } = await use('fold'); return [SAID_MORE, SAID_ANEW];")
    assert set(said) == SAID_AT_TABLE


DUE = [{"id": name, "due": True} for name in "abcd"]
TURN = (
    "const { Round } = await use('round');"
    "return new Round({ animals }).nextAfter(done, order, new Set(skip))?.id;"
)


@pytest.mark.parametrize(
    ("animals", "order", "done", "skip", "turn"),
    [
        (DUE, list("abcd"), "b", [], "c"),
        (DUE, list("abcd"), "d", [], "a"),
        ([DUE[0], DUE[2], DUE[3]], list("abcd"), "b", [], "c"),
        (DUE, [], "x", [], "a"),
        (DUE, list("abcd"), "b", ["c"], "d"),
        ([*DUE[:2], DUE[2] | {"broken": "words"}, DUE[3]], list("abcd"), "b", [], "d"),
        ([DUE[0] | {"due": False}, DUE[1]], list("ab"), "b", [], None),
    ],
)
def test_the_next_animal_is_the_one_after_this_one_on_the_list_it_was_on(
    animals: list[Any], order: list[str], done: str, skip: list[str], turn: str | None
) -> None:
    assert say(TURN, animals=animals, order=order, done=done, skip=skip) == turn


CLOCK = "return (await use('round')).clockDiffers(Date.parse(server), Date.parse(phone));"


@pytest.mark.parametrize(
    ("phone", "by"),
    [
        ("2026-03-03T09:05:00Z", None),
        ("2026-03-03T09:30:00Z", "30 minutes ahead"),
        ("2026-03-03T05:00:00Z", "4 hours behind"),
        ("1970-01-01T00:00:00Z", "20515 days behind"),
    ],
)
def test_a_clock_that_is_wrong_by_more_than_ten_minutes_is_told(phone: str, by: str | None) -> None:
    said = say(CLOCK, server="2026-03-03T09:00:00Z", phone=phone)
    assert (said and said["by"]) == by


WHO = "return (await use('round')).whoRecords(shell, { round, fresh });"
TAM, WYN = {"id": 3, "name": "Tam"}, {"id": 5, "name": "Wyn"}


@pytest.mark.parametrize(
    ("made_at", "fresh", "who"),
    [
        ("2026-03-03T12:00:00Z", True, TAM),
        ("2026-03-03T08:00:00Z", False, TAM),
        ("2026-03-03T12:00:00Z", False, WYN),
    ],
)
def test_entries_are_made_by_whoever_was_signed_in_last(
    made_at: str, fresh: bool, who: dict[str, Any]
) -> None:
    shell = {"me": "5", "myName": "Wyn", "made": made_at}
    known = {"me": TAM, "now": "2026-03-03T09:00:00Z"}
    assert say(WHO, shell=shell, round=known, fresh=fresh) == who


def test_a_slow_photo_holds_up_no_touch_and_has_minutes_to_arrive() -> None:
    said = say(
        """
        const { Sender } = await use("sending");
        const { WAITING, SENT } = await use("store");
        const touch = { id: "t", state: WAITING, check: {}, touch: {} };
        const photo = { id: "p", state: WAITING, file: new Blob(["x"]), name: "x.jpg" };
        const store = {
          touchesThatAre: async (state) => (touch.state === state ? [touch] : []),
          photosThatAre: async (state) => (photo.state === state ? [photo] : []),
          putTouches: async ([one]) => Object.assign(touch, one),
          dropPhoto: async () => { photo.state = SENT; },
        };
        let arrived;
        const patience = [];
        AbortSignal.timeout = (millis) => { patience.push(millis); };
        globalThis.fetch = async (address) => {
          if (address === "photos") await new Promise((done) => { arrived = done; });
          const touches = { kept: ["t"], refused: [], checks: {} };
          const answer = address === "photos" ? { kept: "p" } : touches;
          return { ok: true, json: async () => answer };
        };
        const sender = new Sender(store, { touches: "touches", photos: "photos" }, () => {});
        await sender.now();
        const before = [touch.state, photo.state, sender.unsent];
        while (!arrived) await new Promise((done) => setTimeout(done, 1));
        arrived();
        while (sender.unsent) await new Promise((done) => setTimeout(done, 1));
        return { before, after: photo.state, longest: Math.max(...patience) };
        """
    )
    assert said["before"] == ["sent", "waiting", 1]
    assert said["after"] == "sent"
    assert said["longest"] >= 3 * 60 * 1000


WITH_ONE_TOUCH = """
const { refusedForItsClock, Sender } = await use("sending");
const touch = { id: "t", state, check: {}, touch: {}, ...said };
const store = {
  touchesThatAre: async (state) => (touch.state === state ? [touch] : []),
  photosThatAre: async () => [],
  putTouches: async ([one]) => { delete touch.why; Object.assign(touch, one); },
};
let sent = null;
globalThis.fetch = async (address, { body }) => {
  sent = JSON.parse(body);
  const answer = { now: here, kept: ["t"], refused: [], checks: {} };
  return { ok: true, json: async () => answer };
};
const sender = new Sender(store, { touches: "touches", photos: "photos" }, () => {});
"""


def test_what_was_refused_for_its_clock_is_sent_again_and_other_refusals_wait_for_the_carer() -> (
    None
):
    why = "This was made more than a day in the future: set the phone's clock, then send again."
    script = f"""{WITH_ONE_TOUCH}
    await sender.tryAgain(refusedForItsClock);
    const by_itself = touch.state;
    await sender.tryAgain();
    await sender.now();
    return {{ by_itself, after: touch.state, why: touch.why ?? null, refused: sender.refused }};
    """
    for words, by_itself in ((why, "waiting"), ("Tam made this entry.", "refused")):
        said = say(script, state="refused", said={"why": words}, here="2026-03-03T09:00:00Z")
        assert said == {"by_itself": by_itself, "after": "sent", "why": None, "refused": []}


@pytest.mark.parametrize(
    ("here", "off"), [("2020-01-01T00:00:00Z", True), ("2100-01-01T00:00:00Z", True), (None, False)]
)
def test_the_phone_sends_its_own_idea_of_now_and_hears_how_its_clock_differs(
    here: str | None, off: bool
) -> None:
    script = f"""{WITH_ONE_TOUCH}
    here ??= new Date().toISOString();
    await sender.now();
    return {{ late: Math.abs(Date.now() - Date.parse(sent.sent_at)), clock: sender.clock }};
    """.replace("here ??=", "const right =").replace("now: here", "now: here ?? new Date()")
    said = say(script, state="waiting", said={}, here=here)
    assert said["late"] < 60_000
    assert (said["clock"] is not None) is off


@pytest.mark.parametrize("most", [30, 1])
def test_a_server_that_finds_a_sending_too_large_gets_it_in_halves_and_all_of_it(
    most: int,
) -> None:
    said = say(
        """
        const { Sender } = await use("sending");
        const { WAITING } = await use("store");
        const one = { state: WAITING, check: {}, touch: {} };
        const made = Array.from({ length: 150 }, (_, i) => ({ ...one, id: String(i) }));
        const store = {
          touchesThatAre: async (state) => made.filter((one) => one.state === state),
          photosThatAre: async () => [],
          putTouches: async (all) => all.forEach((one) => Object.assign(made[Number(one.id)], one)),
        };
        const sizes = [];
        globalThis.fetch = async (address, { body }) => {
          const ids = JSON.parse(body).touches.map((one) => one.id);
          sizes.push(ids.length);
          const ok = ids.length <= most && !(ids.length === 1 && ids[0] === "7");
          const answer = ok ? { kept: ids, refused: [], checks: {} } : { why: "too much" };
          return { ok, status: ok ? 200 : 413, json: async () => answer };
        };
        const sender = new Sender(store, { touches: "touches" }, () => {});
        await sender.now();
        return { sizes, unsent: sender.unsent, refused: sender.refused, state: sender.state };
        """,
        most=most,
    )
    assert said["sizes"][:3] == [100, 50, 25]
    assert (said["unsent"], said["state"]) == (0, "idle")
    assert [one["why"] for one in said["refused"]] == ["too much"] * (most == 1)
