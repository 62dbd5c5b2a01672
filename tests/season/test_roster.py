"""The roster: shown names change, the names answers are kept under do not; near misses are told, not guessed."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from unicodedata import normalize

import pytest

from tests.progress.made_up import START, attempt
from trainer.progress.records import record_of
from trainer.progress.store import Store, open_store
from trainer.refusal import Refused
from trainer.season.roster import (
    MEMBER_KIND,
    Member,
    add_member,
    archive_member,
    bring_back,
    change_member,
    rename_member,
    role_of,
    roster_of,
)

SCRIPTS = ("مالك الحزين", "青鷺　一羽", "Curlew 🐦\u200d⬛", "Zoë", "می\u200cخواهم", "Дупель", "सारस")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(tmp_path / "yardline.sqlite", now=START) as opened:
        yield opened


def later(minutes: int) -> datetime:
    return START + timedelta(minutes=minutes)


def test_members_come_by_role_and_name_and_guests_last(store: Store) -> None:
    store.log.add_all([attempt(1, learner="Dunlin", at=later(2)), attempt(2, learner="Dunlin", at=later(1))])
    add_member(store, "Plover", now=START, section="battery", since=date(2030, 9, 1))
    add_member(store, "Avocet", now=START)
    add_member(store, "Heron", now=START, role="audio staff")
    assert roster_of(store).members == (
        Member("Heron", "Heron", "audio staff", "", START.date()),
        Member("Avocet", "Avocet", "student", "", START.date()),
        Member("Plover", "Plover", "student", "battery", date(2030, 9, 1)),
        Member("Dunlin", "Dunlin", "guest", "", START.date()),
    )
    assert [record.key for record in store.records.of_kind(MEMBER_KIND)] == ["Avocet", "Heron", "Plover"]


def test_a_renamed_members_answers_stay_theirs(store: Store) -> None:
    store.log.add(attempt(1))
    rename_member(store, "Heron", "Grey Heron", now=START)
    rename_member(store, "Grey Heron", "青鷺", now=later(1))
    roster = roster_of(store)
    assert [(one.learner, one.name, one.role) for one in roster.members] == [("Heron", "青鷺", "guest")]
    assert roster.learner_of("青鷺") == "Heron"
    assert roster.learner_of("Heron") == "Heron"
    assert roster.shown("Heron") == "青鷺"
    assert list(store.log.attempts()) == [attempt(1)]


def test_a_guest_who_is_put_on_the_roster_keeps_the_answers(store: Store) -> None:
    store.log.add(attempt(1, learner="Dunlin"))
    assert add_member(store, "Dunlin", now=later(1), role="student").learner == "Dunlin"
    assert [one.role for one in roster_of(store).members] == ["student"]


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("Heron", r"the name 'Heron' is taken: Heron is on the roster as student$"),
        ("heron", r"'heron' looks like 'Heron', who is here already, in all but case or width"),
        ("Ｈeron", r"looks like 'Heron'"),
        ("Her\u200don", r"looks like 'Heron'"),
        ("Sand", r"the name 'Sand' is taken: Sanderling is on the roster as student, whose answers are kept"),
        ("Sanderling", r"the name 'Sanderling' is taken"),
        ("SAND", r"looks like 'Sanderling'"),
        ("Dunlin", r"is taken: Dunlin is on the roster as student, archived; `yardline roster bring-back`"),
        ("avocet", r"looks like 'Avocet'"),
        ("", "at least one letter"),
        ("\u200d", "at least one letter"),
        ("a\u202eb", "control characters"),
        ("Her\udc80n", "not valid UTF-8"),
    ],
)
def test_a_name_that_is_taken_or_nearly_or_none_is_refused(store: Store, typed: str, told: str) -> None:
    store.log.add(attempt(1, learner="Avocet"))
    for name in ("Heron", "Sand", "Dunlin", "Curlew"):
        add_member(store, name, now=START)
    rename_member(store, "Sand", "Sanderling", now=START)
    archive_member(store, "Dunlin", now=START)
    before = store.records.all()
    with pytest.raises(Refused, match=told):
        add_member(store, typed, now=later(1))
    with pytest.raises(Refused):
        rename_member(store, "Curlew", typed, now=later(1))
    assert store.records.all() == before


def test_a_name_may_be_written_another_way_for_the_same_member(store: Store) -> None:
    add_member(store, "heron", now=START)
    assert rename_member(store, "heron", "Heron", now=START).name == "Heron"
    assert roster_of(store).learner_of("heron") == "heron"


@pytest.mark.parametrize("name", SCRIPTS)
def test_names_in_every_script_are_kept_and_found(store: Store, name: str) -> None:
    """UAX 15: what is composed and what is not are the same name, however a keyboard sends it."""
    add_member(store, name, now=START)
    roster = roster_of(store)
    assert roster.named(normalize("NFD", name)).name == normalize("NFC", name)
    assert roster.learner_of(f" {name} ") == normalize("NFC", name)


def test_answers_kept_under_a_name_that_is_not_composed_are_found(store: Store) -> None:
    """Stores from before names were composed hold them as they were typed."""
    store.log.add(attempt(1, learner=normalize("NFD", "Zoë")))
    assert roster_of(store).learner_of("Zoë") == normalize("NFD", "Zoë")


def test_who_is_unknown_is_told_with_the_nearest_names(store: Store) -> None:
    with pytest.raises(Refused, match="the roster is empty"):
        roster_of(store).named("Heron")
    for name in ("Heron", "Plover"):
        add_member(store, name, now=START)
    roster = roster_of(store)
    with pytest.raises(Refused, match=r"there is nobody called 'Herron'; did you mean 'Heron'\?"):
        roster.named("Herron")
    with pytest.raises(Refused, match=r"nobody called 'xyz'; there are Heron, Plover$"):
        roster.named("xyz")
    assert roster.learner_of("Herron") == "Herron"
    with pytest.raises(Refused, match="looks like 'Heron'"):
        roster.learner_of("HERON")


def test_archived_members_stay_on_the_roster_but_are_not_present(store: Store) -> None:
    add_member(store, "Heron", now=START)
    archive_member(store, "Heron", now=START)
    assert [one.is_archived for one in roster_of(store).members] == [True]
    assert roster_of(store).present == ()
    with pytest.raises(Refused, match="archived already"):
        archive_member(store, "Heron", now=START)
    bring_back(store, "Heron", now=START)
    with pytest.raises(Refused, match="not archived"):
        bring_back(store, "Heron", now=START)
    assert [one.name for one in roster_of(store).present] == ["Heron"]


def test_role_and_section_change_and_the_rest_stays(store: Store) -> None:
    add_member(store, "Heron", section="brass", now=START)
    changed = change_member(store, "Heron", role="audio staff", now=later(1))
    assert (changed.role, changed.section) == ("audio staff", "brass")
    assert change_member(store, "Heron", section="", now=later(2)).section == ""
    assert roster_of(store).members == (Member("Heron", "Heron", "audio staff", "", START.date()),)


@pytest.mark.parametrize(
    ("typed", "told"),
    [("staff", "not 'staff'; did you mean 'audio staff'"), ("pope", "is one of audio staff")],
)
def test_a_role_that_is_none_is_told(typed: str, told: str) -> None:
    with pytest.raises(Refused, match=told):
        role_of(typed)
    assert role_of("Audio Staff ") == "audio staff"


def test_a_change_holds_although_a_fast_clock_wrote_before_it(store: Store) -> None:
    """Of two records the later one holds, so a change is written later than what it changes."""
    store.records.put([record_of(MEMBER_KIND, "Heron", {"name": "Heron", "role": "student"}, at=later(600))])
    rename_member(store, "Heron", "Grey Heron", now=START)
    assert roster_of(store).members[0].name == "Grey Heron"


def test_two_laptops_that_gave_one_name_to_two_people_show_both_apart(store: Store, tmp_path: Path) -> None:
    add_member(store, "Heron", now=START)
    with open_store(tmp_path / "other.sqlite", now=START) as other:
        add_member(other, "Plover", now=START)
        rename_member(other, "Plover", "Heron", now=later(1))
        store.merge(other)
    assert [one.name for one in roster_of(store).members] == ["Heron", "Heron (Plover)"]
    rename_member(store, "Heron (Plover)", "Plover", now=later(2))
    assert [one.name for one in roster_of(store).members] == ["Heron", "Plover"]


def test_a_record_of_another_version_is_read_as_far_as_it_goes(store: Store) -> None:
    store.records.put(
        [record_of(MEMBER_KIND, "Heron", {"role": "mascot", "hat": True, "since": "spring"}, at=START)]
    )
    assert roster_of(store).members == (Member("Heron", "Heron", "guest", "", None),)
