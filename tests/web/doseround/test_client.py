"""What the phone makes of its list and its entries, without a browser round it."""

from typing import Any

import pytest

from tests.web.client import say

NOON = "2026-03-03T12:00:00+00:00"
# A list loaded at noon by a phone whose clock is an hour ahead.
MAKE = """
const { Day, standingOf, nextAfter, left } = await use("../doseround/day");
const { Ledger } = await use("../doseround/ledger");
const PHONE = Date.parse("2026-03-03T13:00:00Z");
const dose = (more = {}) => ({ key: "c:1", course: "c", number: 1, animal: "a", medicine: true,
  state: "ready", draws: true, mark: "0.24 mL|s", mark_words: "0.24 mL", second: [], tries: [],
  from_at: "2026-03-03T08:00:00Z", until_at: "2026-03-03T20:00:00Z", advised: "", ...more });
const dayOf = (doses, more = {}) => new Day({ now: "NOON", loaded_at: PHONE, doses, questions: [],
  ends_at: "2026-03-04T00:00:00Z", me: { id: 1, name: "Tam" }, people: [], ...more });
const made = (touch, id = "1", key = "c:1") => ({ id, check: { id: key }, touch,
  made_at: "2026-03-03T12:00:00Z", state: "waiting" });
const tried = (outcome, id = "1", key = "c:1") => made({ kind: "dose", outcome, why: "" }, id, key);
const store = { kept: {}, async keepRound(r) { this.kept = r; }, async addTouch() {},
  async touchesOf() { return []; } };
const ledger = (touches = [], drafts = {}) => new Ledger(store, touches, drafts);
const is = (one, touches, drafts, at = PHONE, more = {}) =>
  standingOf(one, dayOf([one], more), ledger(touches, drafts), at).is;
const drawn = { mark: "0.24 mL|s", drawn_at: "2026-03-03T12:00:00Z" };
""".replace("NOON", NOON)


def found(script: str) -> Any:
    return say(f"{MAKE} {script}")


def test_a_dose_goes_from_ready_to_drawn_up_to_done() -> None:
    said = found(
        """return [is(dose()), is(dose(), [], { "c:1": drawn }), is(dose(), [tried("given")])];"""
    )
    assert said == ["ready", "drawn", "done"]


def test_what_was_drawn_up_to_another_mark_is_not_given() -> None:
    said = found("""return is(dose({ mark: "0.26 mL|s" }), [], { "c:1": drawn });""")
    assert said == "ready"


def test_the_second_person_comes_before_drawing_up_and_anew_for_another_amount() -> None:
    said = found(
        """
        const asks = (more = {}) => dose({ second: ["the order asks for it"], ...more });
        const checked = { mark: "0.24 mL|s", second: 2 };
        return [is(asks()), is(asks(), [], { "c:1": checked }),
          is(asks({ mark: "0.3 mL|s" }), [], { "c:1": checked })];
        """
    )
    assert said == ["second", "ready", "second"]


def test_refused_and_not_given_leave_it_to_be_tried_again() -> None:
    said = found("""return [is(dose(), [tried("refused")]), is(dose(), [tried("not_given")])];""")
    assert said == ["ready", "ready"]


@pytest.mark.parametrize("outcome", ["given", "partly", "spat_out"])
def test_what_may_have_gone_in_is_not_given_again(outcome: str) -> None:
    assert found(f"""return is(dose(), [tried("{outcome}")]);""") == "done"


def test_where_the_order_says_again_what_went_in_before_does_not_answer_it_but_the_next_does() -> (
    None
):
    said = found(
        """
        const before = [{ id: "1", outcome: "partly", at: "2026-03-03T11:00:00Z" }];
        const again = dose({ again: true, tries: before });
        return [is(again), is(again, [tried("given", "2")])];
        """
    )
    assert said == ["ready", "done"]


def test_an_entry_taken_back_no_longer_counts_also_while_the_list_still_has_it() -> None:
    said = found(
        """
        const known = dose({ tries: [{ id: "1", outcome: "given", at: "2026-03-03T11:00:00Z" }] });
        const back = [tried("given"), made({ kind: "take_back", entry: "1" }, "2")];
        return [is(known), is(known, back)];
        """
    )
    assert said == ["done", "ready"]


def test_what_the_list_has_as_done_and_was_taken_back_is_not_given_by_that_list() -> None:
    said = found(
        """
        const listed = dose({ sitting: null, until_at: "2026-03-03T12:00:00Z",
          tries: [{ id: "1", outcome: "given" }] });
        const back = made({ kind: "take_back", entry: "1" }, "2");
        return [is(listed), is(listed, [tried("given"), back])];
        """
    )
    assert said == ["done", "taken_back"]


def test_time_is_the_servers_and_a_late_dose_is_never_given_by_an_old_list() -> None:
    said = found(
        """
        const hours = (n) => PHONE + n * 3600 * 1000;
        const evening = dose({ from_at: "2026-03-03T13:00:00Z" });
        return [is(evening), is(evening, [], {}, hours(2)), is(dose(), [], {}, hours(9)),
          is(dose(), [], {}, hours(13))];
        """
    )
    assert said == ["soon", "ready", "late", "other_day"]


def test_that_its_time_has_passed_makes_no_dose_safer() -> None:
    """Not to be given, weighed first and the vet asked first come before late, as before it."""
    said = found(
        """
        const late = (more) => is(dose(more), [], {}, PHONE + 9 * 3600 * 1000);
        return [late({ state: "stop" }), late({ state: "weigh" }), late({ weighed_since: "950 g" }),
          late({ advised: "Advice of today: vet now." }), late({})];
        """
    )
    assert said == ["stop", "weigh", "weigh", "ask", "late"]


def test_a_late_dose_that_needs_two_people_still_needs_two() -> None:
    said = found(
        """
        const two = dose({ second: ["an opioid"] });
        const late = (drafts) =>
          standingOf(two, dayOf([two]), ledger([], drafts), PHONE + 9 * 3600 * 1000);
        const checked = { mark: "0.24 mL|s", second: 2, second_at: "2026-03-03T12:00:00Z" };
        const other = { ...checked, mark: "0.3 mL|s" };
        return [{}, { "c:1": drawn }, { "c:1": other }, { "c:1": checked }].map((drafts) =>
          [late(drafts).is, late(drafts).checked]);
        """
    )
    assert said == [["late", False], ["late", False], ["late", False], ["late", True]]


def test_a_weight_the_list_does_not_know_holds_the_amount_back() -> None:
    assert (
        found("""return is(dose({ weighed_since: "950 g" }), [], { "c:1": drawn });""") == "weigh"
    )


def test_an_alarming_answer_holds_the_next_dose_until_the_vet_was_asked() -> None:
    said = found(
        """
        const question = { key: "q", animal: "a", what: "an antibiotic",
          answers: [{ words: "watery", alarm: { level: 4 } },
            { words: "fine", alarm: { level: 0 } }] };
        const answer = (n) => [made({ kind: "answer", answer: n }, "9", "q")];
        const more = { questions: [question] };
        const asked = { "c:1": { asked_at: "2026-03-03T12:01:00Z" } };
        return [is(dose(), answer(0), {}, PHONE, more), is(dose(), answer(1), {}, PHONE, more),
          is(dose(), answer(0), asked, PHONE, more),
          is(dose({ medicine: false, draws: false }), answer(0), {}, PHONE, more)];
        """
    )
    assert said == ["ask", "ready", "ready", "drawn"]


def test_the_next_is_onward_in_the_round_then_from_the_front_and_never_one_already_tried() -> None:
    said = found(
        """
        const doses = ["a", "b", "c", "d"].map((name) => dose({ key: name }));
        const day = dayOf(doses);
        const of = (key, touches) =>
          nextAfter(key, doses, day, ledger(touches), PHONE)?.key ?? null;
        const over = (...keys) => keys.map((key, i) => tried("given", String(i), key));
        return [of("b", []), of("d", []), of("b", over("c")), of("b", [tried("refused", "1", "c")]),
          of("a", over("b", "c", "d")), of("b", over("a", "b", "c", "d"))];
        """
    )
    assert said == ["c", "a", "d", "d", None, None]


@pytest.mark.parametrize(
    ("holds", "mark", "counted"),
    # From memory: the numbers printed on syringes in use; each line is one mark.
    [(1, 0.01, 51), (1, 0.1, 11), (2.5, 0.1, 26), (0.5, 0.01, 51), (5, 0.2, 26), (20, 1, 21)],
)
def test_the_barrel_has_its_lines_and_few_numbers(holds: float, mark: float, counted: int) -> None:
    said = say(
        """
        const { lines, numbers } = await use("../doseround/syringe");
        return [lines(holds, mark).length, numbers(holds, mark)];
        """,
        holds=holds,
        mark=mark,
    )
    assert said[0] == counted
    assert 1 <= len(said[1]) <= 6
    assert said[1][-1] == pytest.approx(holds)


@pytest.mark.parametrize("to", [0.01, 0.05, 0.24, 0.5, 0.99, 1])
def test_the_lens_holds_the_mark_and_stays_on_the_barrel(to: float) -> None:
    said = say(
        """
        const { around } = await use("../doseround/syringe");
        return around(1, 0.01, to);
        """,
        to=to,
    )
    assert -1e-9 <= said["from"] <= to <= said["until"] <= 1 + 1e-9
    assert said["until"] - said["from"] == pytest.approx(0.14)


def test_numbers_have_a_leading_nought_and_none_at_the_end() -> None:
    """As ISMP's list of error-prone abbreviations asks (2021, from memory): 0.5, not .5 or 5.0."""
    said = say(
        """
        const { number } = await use("../doseround/syringe");
        return [0.5, 5, 0.05, 1.25, 0.1 + 0.2].map(number);
        """
    )
    assert said == ["0.5", "5", "0.05", "1.25", "0.3"]


def test_what_a_second_person_gets_is_the_mark_or_within_a_twentieth_of_the_amount() -> None:
    """Half a line of a 1 mL syringe is a sixth of 0.03 mL: that would be no check."""
    said = say(
        """
        const { unlike } = await use("../doseround/second");
        const of = (mark, exact) => (got) => unlike(got, { mark, exact });
        return [[0.24, 0.236, 0.26, 2.4, 0.024, 0, NaN].map(of(0.24, 0.243)),
          [5, 50, 0.05].map(of(5, 5)),
          [0.03, 0.031, 0.0325, 0.035, 0.025, 0.04].map(of(0.03, 0.031))];
        """
    )
    millilitres, units, small = said
    assert millilitres[0] == millilitres[1] == ""
    assert "ten times" not in millilitres[2]
    assert millilitres[2]
    assert "ten times" in millilitres[3]
    assert "ten times" in millilitres[4]
    assert millilitres[5] == millilitres[6] == "Type what you get, in digits."
    assert units[0] == ""
    assert "ten times" in units[1]
    assert units[2]
    assert [bool(one) for one in small] == [False, False, False, True, True, True]


def test_two_results_apart_and_nobody_goes_on_guessing_until_both_begin_again() -> None:
    said = say(
        """
        const { isHeld, withTry } = await use("../doseround/second");
        const one = { mark: "m" };
        const wrong = { mark: "m", by: 2, typed: 3, agrees: false };
        const more = (draft, each) => ({ second_tries: withTry(draft, each) });
        const once = more({}, wrong), twice = more(once, wrong);
        const anew = more(twice, { mark: "m", again: true });
        return [isHeld(one, null), isHeld(one, once), isHeld(one, twice),
          isHeld({ mark: "other" }, twice), isHeld(one, anew), isHeld(one, more(anew, wrong)),
          anew.second_tries.length];
        """
    )
    assert said == [False, False, True, False, False, False, 3]


def test_what_the_second_person_got_is_kept_with_the_dose_and_outlives_a_reload() -> None:
    said = say(
        """
        const { entryOf } = await use("../doseround/entry");
        const { Ledger } = await use("../doseround/ledger");
        const tries = [{ mark: "m", by: 2, typed: 0.3, agrees: false, at: "2026-03-03T12:00:00Z" }];
        const store = { allTouches: async () => [], keptRound: async () => ({
          "c:1": { second_tries: tries } }) };
        const ledger = await Ledger.open(store, Date.parse("2026-03-03T12:30:00Z"));
        return entryOf({ worked: {} }, "given", "", ledger.draft("c:1")).worked.second_tries;
        """
    )
    assert said == [{"by": 2, "typed": 0.3, "agrees": False, "at": "2026-03-03T12:00:00Z"}]


def test_of_a_dose_that_was_not_given_nothing_leaves_the_bottle() -> None:
    said = say(
        """
        const { entryOf } = await use("../doseround/entry");
        const one = { course: "c", number: 1, weight_g: "900", weighed_at: "x",
          drawn_amount: "0.24", drawn_unit: "mL", lot: "l", syringe: { code: "s" }, worked: {} };
        return ["given", "spat_out", "not_given"].map((outcome) => {
          const { amount, unit, lot } = entryOf(one, outcome, "", { drawn_at: "t" });
          return [amount, unit, lot];
        });
        """
    )
    assert said == [["0.24", "mL", "l"], ["0.24", "mL", "l"], [None, "", None]]


@pytest.mark.parametrize(
    ("state", "unknown", "at", "held"),
    [
        ("waiting", [], "11:00", True),
        ("sent", [], "11:00", False),
        # It arrived while the list was on its way: the list does not know it.
        ("sent", ["w"], "11:00", True),
        ("sent", [], "13:00", True),
        ("refused", [], "13:00", False),
    ],
)
def test_an_amount_is_held_back_while_the_list_does_not_know_the_newest_weight(
    state: str, unknown: list[str], at: str, held: bool
) -> None:
    said = say(
        """
        const { markWeighed } = await use("../doseround/weighed");
        const touch = { kind: "weight", grams: "950", as_typed: "950 g" };
        const made_at = `2026-03-03T${at}:00Z`;
        const checks = { allTouches: async () => [
          { id: "w", check: { id: "k", animal: "a" }, made_at, touch, state }] };
        const day = { asked_at: Date.parse("2026-03-03T12:00:00Z"), unknown_weights: unknown,
          doses: [{ animal: "a", by_weight: true }, { animal: "a", by_weight: false },
            { animal: "b", by_weight: true }] };
        await markWeighed(day, checks);
        return day.doses.map((one) => one.weighed_since);
        """,
        state=state,
        unknown=unknown,
        at=at,
    )
    assert said == ["950 g" if held else "", "", ""]
