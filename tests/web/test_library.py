"""The knowledge pages: all of it is shown, each with its sources, and nothing without."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.html import escape
from pytest_django import Settings

from cavyround.advice.book import book
from cavyround.knowledge.book import Knowledge
from cavyround.record.models import Person
from cavyround.web.library.areas import areas_of, is_addition, is_combination
from cavyround.web.library.citing import cited
from cavyround.web.library.search import rule_url, search
from tests.web.conftest import SignedIn


@pytest.fixture
def reader(viewer: Person, signed_in: SignedIn) -> Client:
    return signed_in(viewer)


@pytest.fixture
def known() -> Knowledge:
    return book()


def page_of(client: Client, name: str, *arguments: str) -> str:
    answer = client.get(reverse(name, args=arguments))
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_index_leads_to_every_hold_and_area(reader: Client, known: Knowledge) -> None:
    page = page_of(reader, "knowledge")
    for hold in known.holds:
        assert reverse("knowledge-hold", args=[hold.code]) in page
    for area in areas_of(known):
        assert reverse("knowledge-area", args=[area]) in page


def test_every_line_of_every_step_is_shown(reader: Client, known: Knowledge) -> None:
    for hold in known.holds:
        page = page_of(reader, "knowledge-hold", hold.code)
        assert escape(hold.how) in page
        for step in (one for one in known.steps if one.hold == hold.code):
            lines = (step.words, step.why, *step.look, *step.feel, *step.smell, *step.never)
            more = (
                *(one.words for one in step.varies),
                *(one.words for one in step.care),
                *(one.words for one in step.matters_more),
                *(fact.words for fact in known.trade if step.code in fact.steps),
            )
            for line in (*lines, *more):
                assert escape(line) in page


def test_every_rule_stands_where_its_id_leads(reader: Client, known: Knowledge) -> None:
    addresses = {rule_url(known, rule.id).split("#")[0] for rule in known.rules}
    pages = {address: reader.get(address).content.decode() for address in addresses}
    for rule in known.rules:
        page = pages[rule_url(known, rule.id).split("#")[0]]
        assert f'id="{rule.id}"' in page
        for line in (*rule.do_not, *rule.causes, rule.because, rule.evidence):
            assert escape(line) in page


def test_a_rule_id_leads_to_its_place(reader: Client) -> None:
    answer = reader.get(reverse("knowledge-rule", args=["eyes.tears_one"]))
    assert answer.status_code == 302
    assert answer.headers["Location"] == "/knowledge/findings/eyes#eyes.tears_one"
    assert reader.get(reverse("knowledge-rule", args=["no.such_rule"])).status_code == 404


def test_combinations_and_our_own_additions_are_kept_apart(
    reader: Client, known: Knowledge
) -> None:
    combinations = page_of(reader, "knowledge-combinations")
    additions = page_of(reader, "knowledge-additions")
    assert 'id="K01"' in combinations
    assert 'id="C01"' not in combinations
    assert any(is_addition(rule) for rule in known.rules)
    for rule in known.rules:
        if is_combination(rule):
            page = additions if is_addition(rule) else combinations
            assert f'id="{rule.id}"' in page


def test_what_has_no_source_says_so_plainly(reader: Client, known: Knowledge) -> None:
    assert cited(known, ["CP"])[0].words == "common practice, no source"
    assert "no published source" in cited(known, ["JUDGEMENT"])[0].words
    assert "common practice, no source" in page_of(reader, "knowledge-trade")
    assert "our own mapping; no published source states it" in page_of(
        reader, "knowledge-area", "eyes"
    )


def test_sources_are_named_by_title_each_once(known: Knowledge) -> None:
    key = next(key for key, source in known.sources.items() if source.kind == "study")
    assert [one.words for one in cited(known, [key, key])] == [known.sources[key].title]
    assert not cited(known, ["NO-SUCH"])[0].has_source


def test_every_infection_says_what_was_found_and_what_was_not(
    reader: Client, known: Knowledge
) -> None:
    page = page_of(reader, "knowledge-infections")
    for one in known.infections:
        assert f'id="{one.id}"' in page
        for note in one.notes:
            assert escape(note) in page
    for apart in known.kept_apart:
        assert f'id="{apart.id}"' in page
    for rule in known.apart_rules:
        assert escape(rule.words) in page
    assert "Not found" in page
    assert "off_host" not in page


def test_every_number_trade_fact_caution_question_and_source_is_shown(
    reader: Client, known: Knowledge
) -> None:
    numbers = page_of(reader, "knowledge-numbers")
    assert all(f'id="{key}"' in numbers for key in known.thresholds)
    trade = page_of(reader, "knowledge-trade")
    assert all(escape(fact.words) in trade for fact in known.trade)
    cautions = page_of(reader, "knowledge-cautions")
    assert all(escape(one.words) in cautions for one in known.cautions)
    questions = page_of(reader, "knowledge-questions")
    assert all(escape(one.asks) in questions for one in known.questions)
    sources = page_of(reader, "knowledge-sources")
    assert all(f'id="source-{key}"' in sources for key in known.sources)


def test_a_search_finds_steps_findings_and_facts(known: Knowledge) -> None:
    kinds = {one.kind for one in search(known, "teeth").entries}
    assert {"Step", "Fact of the trade"} <= kinds
    assert all("eye" in one.haystack for one in search(known, "EYE tears").entries)
    assert not search(known, "zzqq").entries
    assert not search(known, " ?! ").entries


def test_the_search_box_keeps_what_was_typed_and_says_when_nothing_fits(reader: Client) -> None:
    page = reader.get(reverse("knowledge"), {"q": "<b>zzqq"}).content.decode()
    assert "Nothing found for" in page
    assert 'value="&lt;b&gt;zzqq"' in page
    page = reader.get(reverse("knowledge"), {"q": "x" * 5000}).content.decode()
    assert "x" * 81 not in page


@pytest.mark.parametrize("name", ["knowledge-hold", "knowledge-area"])
def test_an_unknown_part_is_not_there(reader: Client, name: str) -> None:
    assert reader.get(reverse(name, args=["elbows"])).status_code == 404


@pytest.fixture
def overridden(tmp_path: Path, settings: Settings) -> Iterator[None]:
    """The rescue's own vet has changed one rule."""
    file = tmp_path / "own-vet.yaml"
    file.write_text(
        "override:\n"
        '  by: "Dr I. Fern, vet of the rescue"\n'
        "  on: 2026-03-01\n"
        "replaces:\n"
        "  - id: eyes.tears_both\n"
        '    why: "We have seen a run of sore eyes this spring."\n'
        "    set: {urgency: vet_24h}\n"
    )
    settings.OVERRIDE_FILE = str(file)
    book.cache_clear()
    yield
    book.cache_clear()


@pytest.mark.usefixtures("overridden")
def test_a_rule_changed_by_the_rescues_own_vet_says_who_when_and_why(reader: Client) -> None:
    page = page_of(reader, "knowledge-area", "eyes")
    changed = page.split('id="eyes.tears_both"')[1].split("</article>")[0]
    assert "Changed for this rescue by Dr I. Fern, vet of the rescue, 1 March 2026" in changed
    assert "We have seen a run of sore eyes this spring." in changed
    index = page_of(reader, "knowledge")
    assert "Changed by this rescue" in index
    assert "1 rule changed" in index
