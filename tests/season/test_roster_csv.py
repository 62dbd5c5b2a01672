"""The roster in a spreadsheet and back: nothing lost, nothing run as a formula, nothing taken in half."""

import csv
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.progress.made_up import START, attempt
from trainer.progress.names import folded, learner_name, one_line
from trainer.progress.store import Store, open_store
from trainer.refusal import Refused
from trainer.season.roster import (
    ROLES,
    Member,
    add_member,
    archive_member,
    put_members,
    rename_member,
    roster_of,
)
from trainer.season.roster_csv import Imported, import_roster, write_roster

SCRIPTS = (
    "مالك الحزين",
    "青鷺　一羽",
    "Curlew 🐦\u200d⬛",
    'Dun"lin, the second',
    "=Heron;",
    "'-Plover",
    "Zoë",
)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(tmp_path / "yardline.sqlite", now=START) as opened:
        yield opened


def sheet(path: Path, text: str, *, encoding: str = "utf-8") -> Path:
    path.write_bytes(text.encode(encoding))
    return path


def test_a_written_roster_is_what_pythons_own_reader_reads(store: Store, tmp_path: Path) -> None:
    """RFC 4180 by Python's csv; the mark at the front is UTF-8's; apostrophes as OWASP asks (CSV injection)."""
    store.log.add(attempt(1, learner="Dunlin"))
    for name in SCRIPTS:
        add_member(store, name, section="@brass", now=START)
    path = tmp_path / "roster.csv"
    assert write_roster(roster_of(store), path) == len(SCRIPTS) + 1
    assert path.read_bytes().startswith(b"\xef\xbb\xbfname,role,section,since,archived,learner\r\n")
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    marked = {"=Heron;": "'=Heron;", "'-Plover": "''-Plover", "007": "'007"}
    assert {row["name"] for row in rows} == {marked.get(name, name) for name in (*SCRIPTS, "Dunlin")}
    assert {row["section"] for row in rows} == {"'@brass", ""}
    assert {row["since"] for row in rows} == {"2031-02-03"}


LETTERS = st.characters(exclude_categories=["Cs", "Cc", "Cf", "Co", "Cn", "Zl", "Zp"])
TEXTS = st.one_of(
    st.text(LETTERS, max_size=8),
    st.sampled_from([*SCRIPTS, "'", "''=", "3/4", "'90s", "＝1", "a;b", 'say "hm"']),
)
MEMBERS = st.builds(
    Member,
    learner=st.just(""),
    name=TEXTS.filter(lambda text: bool(folded(text))),
    role=st.sampled_from(ROLES),
    section=TEXTS,
    since=st.dates(date(1900, 1, 1), date(2199, 12, 31)),
    is_archived=st.booleans(),
)


def as_kept(member: Member) -> Member:
    name = learner_name(member.name)
    return replace(member, learner=name, name=name, section=one_line(member.section, what="section"))


@given(st.lists(MEMBERS, max_size=5, unique_by=lambda one: folded(one.name)))
@settings(max_examples=12, deadline=None)
def test_any_roster_comes_back_whole_in_an_empty_store(members: list[Member]) -> None:
    """Law: written, read into a store with nothing in it and written again, a roster is the same bytes."""
    with TemporaryDirectory() as folder:
        first, again = Path(folder) / "1.csv", Path(folder) / "2.csv"
        with open_store(Path(folder) / "a.sqlite", now=START) as store:
            put_members(store, roster_of(store), map(as_kept, members), now=START)
            written = roster_of(store)
            write_roster(written, first)
        with open_store(Path(folder) / "b.sqlite", now=START) as other:
            assert import_roster(other, first, now=START) == Imported(len(members), 0, 0)
            assert roster_of(other) == written
            write_roster(roster_of(other), again)
            assert import_roster(other, again, now=START) == Imported(0, 0, len(members))
        assert first.read_bytes() == again.read_bytes()


def test_a_renamed_member_is_renamed_on_the_other_laptop_too(store: Store, tmp_path: Path) -> None:
    add_member(store, "Heron", now=START)
    rename_member(store, "Heron", "青鷺", now=START)
    archive_member(store, "青鷺", now=START)
    write_roster(roster_of(store), tmp_path / "roster.csv")
    with open_store(tmp_path / "other.sqlite", now=START) as other:
        other.log.add(attempt(1))
        assert import_roster(other, tmp_path / "roster.csv", now=START) == Imported(1, 0, 0)
        assert roster_of(other) == roster_of(store)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_what_spreadsheets_write_is_read(
    store: Store, tmp_path: Path, encoding: str, delimiter: str, end: str
) -> None:
    """Commas or semicolons, with a byte order mark or none, days with slashes, a capital here and there."""
    lines = [
        "Name,SECTION,Role,since,archived",
        '"Heron",brass,Audio Staff,2030/9/1,FALSE',
        ",,,,",
        "鷸,,,,TRUE",
    ]
    text = end.join(lines).replace(",", delimiter)
    path = sheet(tmp_path / "roster.csv", text, encoding=encoding)
    assert import_roster(store, path, now=START) == Imported(2, 0, 0)
    assert roster_of(store).members == (
        Member("Heron", "Heron", "audio staff", "brass", date(2030, 9, 1)),
        Member("鷸", "鷸", "student", "", START.date(), is_archived=True),
    )


def test_what_a_file_has_no_column_for_stays(store: Store, tmp_path: Path) -> None:
    add_member(store, "Heron", role="audio staff", section="brass", since=date(2029, 1, 1), now=START)
    before = roster_of(store)
    path = sheet(tmp_path / "names.csv", "name\nHeron\n")
    assert import_roster(store, path, now=START) == Imported(0, 0, 1)
    assert roster_of(store) == before
    path = sheet(tmp_path / "sections.csv", "name,section,role\nHeron,,\n")
    assert import_roster(store, path, now=START) == Imported(0, 1, 0)
    assert roster_of(store).members[0] == Member("Heron", "Heron", "audio staff", "", date(2029, 1, 1))


def test_two_members_may_change_names_in_one_file(store: Store, tmp_path: Path) -> None:
    add_member(store, "Heron", now=START)
    add_member(store, "Plover", now=START)
    rename_member(store, "Heron", "Grey", now=START)
    rename_member(store, "Plover", "Golden", now=START)
    path = sheet(tmp_path / "roster.csv", "name,learner\nGolden,Heron\nGrey,Plover\n")
    assert import_roster(store, path, now=START) == Imported(0, 2, 0)
    assert [(one.name, one.learner) for one in roster_of(store).members] == [
        ("Golden", "Heron"),
        ("Grey", "Plover"),
    ]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", r"line 1 names no column 'name'"),
        ("Heron,student\n", r"line 1 names no column 'name': the first line says which of name, role"),
        ("name,rolle\nHeron,x\n", r"line 1, column 2: 'rolle' is none of .*; did you mean 'role'\?"),
        ("name,name\nHeron,x\n", r"line 1, column 2: there is a column 'name' already"),
        (
            "name,role\nSnipe,student\nKnot,teacher\n",
            r"line 3, column role: a role is one of .* not 'teacher'",
        ),
        ("name,since\nSnipe,11/25/2026\n", r"line 2, column since: a day is written year first"),
        ("name,since\nSnipe,2026-02-30\n", r"line 2, column since: .* not '2026-02-30'"),
        ("name,archived\nSnipe,maybe\n", r"line 2, column archived: archived is yes or no, not 'maybe'"),
        ("name,role\n,student\n", r"line 2, column name: the name '' cannot be used"),
        ("name\nSnipe\nKnot\nSnipe\n", r"line 4, column name: Snipe is in roster.csv, line 2 already"),
        ("name\nSnipe\nsnipe\n", r"line 2, column name: 'Snipe' looks like 'snipe'"),
        ("name\nSnipe\nheron\n", r"line 3, column name: 'heron' looks like 'Heron'"),
        ("name,learner\nHeron,Snipe\n", r"line 2, column name: the name 'Heron' is taken"),
        ("name,learner\nSnipe,Grey\n", r"line 2, column learner: no answers are kept under 'Grey'"),
        ("name\nSnipe, the second\n", r"line 2, column 2: there are 1 columns; a name with a ','"),
        ('name\n"Snipe" x\n', r"line 2 is no line of a CSV file"),
        ('name\nKnot\n"Sni\npe"\n', r"line 4, column name: the name .* no control characters"),
        ("name,section\nSnipe,a\0b\n", r"control characters|no line of a CSV file"),
    ],
)
def test_a_file_that_cannot_be_used_is_told_by_line_and_column_and_nothing_is_imported(
    store: Store, tmp_path: Path, text: str, told: str
) -> None:
    add_member(store, "Heron", now=START)
    add_member(store, "Plover", now=START)
    rename_member(store, "Plover", "Grey", now=START)
    before = store.records.all()
    with pytest.raises(Refused, match=rf"roster\.csv.*{told}") as refused:
        import_roster(store, sheet(tmp_path / "roster.csv", text), now=START)
    assert "\n" not in str(refused.value)
    assert store.records.all() == before


def test_files_that_are_none_are_told(store: Store, tmp_path: Path) -> None:
    with pytest.raises(Refused, match=r"missing\.csv' cannot be read: No such file"):
        import_roster(store, tmp_path / "missing.csv", now=START)
    for encoding in ("utf-16", "shift-jis"):
        path = sheet(tmp_path / "roster.csv", "name\n青鷺\n", encoding=encoding)
        with pytest.raises(Refused, match=r"not UTF-8 text: in the spreadsheet choose 'CSV UTF-8'"):
            import_roster(store, path, now=START)
