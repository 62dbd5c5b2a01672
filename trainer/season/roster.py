"""The roster: who is on staff, who is a student; the names that are shown, and the names answers are kept under.

A member's answers are kept under one name for good (``learner``); renaming changes only what is shown. Each
member is a record of kind ``member`` under that name. Whoever has answers and is no member is a guest.
"""

import json
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from difflib import get_close_matches
from typing import Literal, get_args
from unicodedata import normalize

from trainer.progress.names import folded, learner_name, one_line
from trainer.progress.records import Record, record_of
from trainer.progress.store import Store
from trainer.refusal import Refused

Role = Literal["audio staff", "student", "guest"]
ROLES: tuple[Role, ...] = get_args(Role)
MEMBER_KIND = "member"
SHOWN_NAMES = 12
"""So many names are told where a name is none of them."""


@dataclass(frozen=True, slots=True)
class Member:
    """Somebody on the roster.

    Attributes
    ----------
    learner
        The name that answers are kept under: it never changes.
    name
        The name that is shown.
    section
        The section they are with, in any words; may be empty.
    since
        The first day on the roster, or a guest's first day with answers.
    """

    learner: str
    name: str
    role: Role
    section: str
    since: date | None
    is_archived: bool = False


@dataclass(frozen=True, slots=True)
class Roster:
    """Everybody, by role and name; members who were archived are among them."""

    members: tuple[Member, ...]

    @property
    def present(self) -> tuple[Member, ...]:
        """Those who were not archived."""
        return tuple(member for member in self.members if not member.is_archived)

    def named(self, typed: str) -> Member:
        """Return the member that a name stands for: a shown name, or the one that answers are kept under.

        Raises
        ------
        Refused
            If nobody is called that; it says whose names are like it.
        """
        found = self._found(typed)
        if found is not None:
            return found
        if not self.members:
            raise Refused(
                f"there is nobody called {typed!r}: the roster is empty; `yardline roster add` adds"
            )
        raise Refused(f"there is nobody called {typed!r}{self._hint(typed)}")

    def learner_of(self, name: str) -> str:
        """Return the name that somebody's answers are kept under; who is not on the roster has their own name.

        Raises
        ------
        Refused
            If it is no name, or only nearly the name of somebody here: in another case, or width.
        """
        found = self._found(name)
        if found is not None:
            return found.learner
        kept = learner_name(name)
        near = next((member for member in self.members if folded(kept) in _folds(member)), None)
        if near is not None:
            raise Refused(_slip(kept, near))
        return kept

    def shown(self, learner: str) -> str:
        """Return the name to show for the one that answers are kept under."""
        return next((member.name for member in self.members if member.learner == learner), learner)

    def _found(self, typed: str) -> Member | None:
        exact = normalize("NFC", typed.strip())
        for called in (typed, exact):
            for member in self.members:
                if called in (member.learner, normalize("NFC", member.learner)):
                    return member
        return next((member for member in self.members if member.name == exact), None)

    def _hint(self, typed: str) -> str:
        names = {folded(member.name): member.name for member in self.members}
        near = get_close_matches(folded(typed), names, n=3)
        if near:
            return f"; did you mean {' or '.join(repr(names[one]) for one in near)}?"
        told = ", ".join(member.name for member in self.members[:SHOWN_NAMES])
        more = len(self.members) - SHOWN_NAMES
        return f"; there are {told}" + (f" and {more} more" if more > 0 else "")


def roster_of(store: Store) -> Roster:
    """Return the roster, guests included: they have answers, and nobody put them on it."""
    members = [_member_from(record) for record in store.records.of_kind(MEMBER_KIND)]
    kept = {member.learner for member in members}
    guests = [_guest(store, learner) for learner in store.log.learners() if learner not in kept]
    return Roster(tuple(sorted(_told_apart([*members, *guests]), key=_place)))


def add_member(
    store: Store,
    name: str,
    *,
    role: Role = "student",
    section: str = "",
    since: date | None = None,
    learner: str = "",
    now: datetime,
) -> Member:
    """Put somebody on the roster; a guest of this name keeps the answers there are.

    Parameters
    ----------
    since
        Their first day; today where none is given.
    learner
        The name answers are kept under, where it is another than the one shown.

    Raises
    ------
    Refused
        If the name is somebody's already, or differs from it only by case.
    """
    roster, shown = roster_of(store), learner_name(name)
    key = roster.learner_of(learner or shown)
    here = next((member for member in roster.members if member.learner == key), None)
    if here is not None and is_kept(store, key):
        way_on = "; `yardline roster bring-back` brings them back" if here.is_archived else ""
        raise Refused(f"the name {learner or shown!r} is taken: {_who(here)}{way_on}")
    member = Member(key, shown, role, one_line(section, what="section"), since or now.date())
    return put_members(store, roster, [member], now=now)[0]


def rename_member(store: Store, typed: str, name: str, *, now: datetime) -> Member:
    """Show somebody under another name; their answers stay theirs.

    Raises
    ------
    Refused
        If nobody is called that, or the new name is another's, or differs from it only by case.
    """
    roster = roster_of(store)
    member = replace(roster.named(typed), name=learner_name(name))
    return put_members(store, roster, [member], now=now)[0]


def change_member(
    store: Store, typed: str, *, role: Role | None = None, section: str | None = None, now: datetime
) -> Member:
    """Give somebody another role or section; what is None stays."""
    roster = roster_of(store)
    member = roster.named(typed)
    changed = replace(
        member,
        role=role or member.role,
        section=member.section if section is None else one_line(section, what="section"),
    )
    return put_members(store, roster, [changed], now=now)[0]


def archive_member(store: Store, typed: str, *, now: datetime) -> Member:
    """Take somebody off the lists; their answers and their name are kept."""
    return _archived(store, typed, is_archived=True, now=now)


def bring_back(store: Store, typed: str, *, now: datetime) -> Member:
    """Put somebody who was archived on the lists again."""
    return _archived(store, typed, is_archived=False, now=now)


def put_members(
    store: Store, roster: Roster, members: Iterable[Member], *, now: datetime
) -> tuple[Member, ...]:
    """Keep members, all or none, in place of those of the roster under the same ``learner``; return them.

    Raises
    ------
    Refused
        If a name would be another's, or differ from it only by case; nothing is kept then.
    """
    chosen = tuple(members)
    after = {member.learner: member for member in (*roster.members, *chosen)}
    for member in chosen:
        check_name(member, after.values())
    kept_at = {record.key: record.at for record in store.records.of_kind(MEMBER_KIND)}
    store.records.put(_record_of(member, now=now, kept_at=kept_at.get(member.learner)) for member in chosen)
    return chosen


def check_name(member: Member, everybody: Iterable[Member]) -> None:
    """Refuse a member whose name is another's, shown or kept, or nearly."""
    for other in everybody:
        if other.learner != member.learner and folded(member.name) in _folds(other):
            if member.name in (other.name, other.learner):
                raise Refused(f"the name {member.name!r} is taken: {_who(other)}")
            raise Refused(_slip(member.name, other))


def role_of(typed: str) -> Role:
    """Return the role that was typed; `Refused` if it is none."""
    said = folded(typed)
    for role in ROLES:
        if role == said:
            return role
    near = [role for role in ROLES if said and said in role] or get_close_matches(said, ROLES, n=1)
    hint = f"; did you mean {near[0]!r}?" if near else ""
    raise Refused(f"a role is one of {', '.join(ROLES)}, not {typed!r}{hint}")


def is_kept(store: Store, learner: str) -> bool:
    """Return whether somebody was put on the roster, and is not there for their answers alone."""
    return any(record.key == learner for record in store.records.of_kind(MEMBER_KIND))


def _archived(store: Store, typed: str, *, is_archived: bool, now: datetime) -> Member:
    roster = roster_of(store)
    member = roster.named(typed)
    if member.is_archived is is_archived:
        raise Refused(f"{member.name} is {'archived already' if is_archived else 'not archived'}")
    return put_members(store, roster, [replace(member, is_archived=is_archived)], now=now)[0]


def _record_of(member: Member, *, now: datetime, kept_at: datetime | None) -> Record:
    """Return a member's record, later than the one there is, though a fast clock may have written that."""
    content = {
        "name": member.name,
        "role": member.role,
        "section": member.section,
        "since": None if member.since is None else member.since.isoformat(),
        "archived": member.is_archived,
    }
    at = now if kept_at is None else max(now, kept_at + timedelta(microseconds=1))
    return record_of(MEMBER_KIND, member.learner, content, at=at)


def _member_from(record: Record) -> Member:
    """Return the member of a record; what another version of the program wrote and this one lacks is guessed."""
    content = json.loads(record.body)
    role: Role = next((role for role in ROLES if role == content.get("role")), "guest")
    return Member(
        learner=record.key,
        name=str(content.get("name") or record.key),
        role=role,
        section=str(content.get("section") or ""),
        since=_day_of(content.get("since")),
        is_archived=bool(content.get("archived")),
    )


def _day_of(text: object) -> date | None:
    try:
        return date.fromisoformat(str(text))
    except ValueError:
        return None


def _guest(store: Store, learner: str) -> Member:
    first = store.log.first_answer(learner)
    return Member(learner, learner, "guest", "", None if first is None else first.date())


def _told_apart(members: list[Member]) -> list[Member]:
    """Return members with names of their own: two laptops may have given the same name to two people."""
    names = Counter(name for member in members for name in {member.name, member.learner})
    return [
        replace(member, name=f"{member.name} ({member.learner})")
        if names[member.name] > 1 and member.name != member.learner
        else member
        for member in members
    ]


def _place(member: Member) -> tuple[int, str, str]:
    return ROLES.index(member.role), folded(member.name), member.learner


def _folds(member: Member) -> tuple[str, str]:
    return folded(member.name), folded(member.learner)


def _who(member: Member) -> str:
    role = f"{member.role}, archived" if member.is_archived else member.role
    kept_under = "" if member.name == member.learner else f", whose answers are kept under {member.learner!r}"
    return f"{member.name} is on the roster as {role}{kept_under}"


def _slip(name: str, other: Member) -> str:
    return (
        f"{name!r} looks like {other.name!r}, who is here already, in all but case or width: that is likely a "
        f"slip; write {other.name!r}, or choose a name that differs"
    )
