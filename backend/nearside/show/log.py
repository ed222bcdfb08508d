"""The log of a show as its seats read it: for each seat the places that give it something, and nothing in between.

Every note is looked at once when it has arrived, and once more for each seat that reads; what is remembered of it is
which of a few hundred *sorts* it is of, a sort being all that decides who may read a note. So a pull finds its notes
without passing over anybody else's, and how long it takes, how it pages and where it ends say nothing of them.

A seat's places are settled as the log goes on, each by what was open to the seat at that place. A signature that opens
older notes to the seat gives those along with itself: a device that was past them gets them when it passes the
signature, and one that begins at the beginning gets the same, neither twice. What a change of the catalogue opens
later no place tells; that is what `opened` in the day is for.
"""

from __future__ import annotations

from array import array
from bisect import bisect_left
from collections.abc import Collection
from dataclasses import replace
from typing import Any, NamedTuple

from nearside.show.seats import NO_SIGNATURES, Facts, Seat, Signatures, may_read
from nearside.show.signing import Standing, is_from_paper, standing_on
from nearside.store.protocol import Note, NoteStore

LATE = "_late"
"""The server's own field of a note kept aside: the id of the signature it came too late for."""

_AT_ONCE = 2_000
_KEPT_ASIDE = 0  # the sort of notes that are given to nobody


class Sort(NamedTuple):
    """All of a note that decides who may read it."""

    class_id: str
    kind: str
    card: str | None
    by: str

    def as_note(self) -> dict[str, Any]:
        return {"class": self.class_id, "kind": self.kind, "card": self.card, "by": self.by}


class Log:
    """What of the log has arrived, for all seats. A place is how many notes came before."""

    def __init__(self, store: NoteStore) -> None:
        self._store = store
        self.sorts: list[Sort] = [Sort("", "", None, "")]
        self.sorts_of: dict[str, list[int]] = {}
        """The sorts of the notes of a class."""
        self.sort_at = array("L")
        """The sort of the note at each place."""
        self.places_of: dict[str, array[int]] = {}
        """The places of the notes of a class."""
        self.sign_places = array("L")
        """The places of all signatures, also of those taken back."""
        self.sign_places_of: dict[str, list[int]] = {}
        """The same of one class."""
        self.signed_at: dict[int, frozenset[str]] = {}
        """By the place of a signature: the cards of its class that stood signed from there on."""
        self.standing: dict[tuple[str, str], Standing] = {}
        """By class and card: the signature that stands now. A card without one is open."""
        self._numbers: dict[tuple[str, str, str | None, str], int] = {}
        self._signs: dict[tuple[str, str], list[Note]] = {}

    def look(self) -> int:
        """Take in what has arrived since the last look; the place after the newest note."""
        head = self._store.head()
        while len(self.sort_at) < head:
            for note in self._store.since(len(self.sort_at), _AT_ONCE).notes:
                self._take(note)
        return head

    def paper_cards(self, class_id: str, card: str) -> frozenset[str]:
        """The ids of a card's signatures that are from paper."""
        return frozenset(note["id"] for note in self._signs.get((class_id, card), ()) if is_from_paper(note))

    def classes_with(self, kinds: Collection[str]) -> frozenset[str]:
        """The classes in which a note of one of these kinds has arrived."""
        return frozenset(sort.class_id for sort in self.sorts[1:] if sort.kind in kinds)

    def places_without(self, kinds: Collection[str]) -> dict[str, list[int]]:
        """By class the places of its notes, ascending, without those of some kinds and those that came too late."""
        found: dict[str, list[int]] = {}
        for class_id, places in self.places_of.items():
            wanted = {number for number in self.sorts_of.get(class_id, ()) if self.sorts[number].kind not in kinds}
            found[class_id] = [place for place in places if self.sort_at[place] in wanted]
        return found

    def notes_at(self, places: list[int]) -> list[Note]:
        """The notes at these places, which are ascending."""
        notes: list[Note] = []
        at = 0
        while at < len(places):
            end = at + 1
            while end < len(places) and places[end] == places[end - 1] + 1:
                end += 1
            notes += self._store.since(places[at], end - at).notes
            at = end
        return notes

    def _take(self, note: Note) -> None:
        place = len(self.sort_at)
        class_id = note["class"]
        places = self.places_of.get(class_id)
        if places is None:
            places = self.places_of[class_id] = array("L")
        places.append(place)
        if LATE in note:
            self.sort_at.append(_KEPT_ASIDE)
            return
        sort = (class_id, note["kind"], note.get("card"), note["by"])
        number = self._numbers.get(sort)
        if number is None:
            number = self._numbers[sort] = len(self.sorts)
            self.sorts.append(Sort(*sort))
            self.sorts_of.setdefault(class_id, []).append(number)
        self.sort_at.append(number)
        if note["kind"] == "sign":
            self._take_signature(place, class_id, note)

    def _take_signature(self, place: int, class_id: str, note: Note) -> None:
        card = note["card"]
        signs = self._signs.setdefault((class_id, card), [])
        signs.append(note)
        standing = standing_on(card, signs)
        if standing is None:
            self.standing.pop((class_id, card), None)
        else:
            self.standing[class_id, card] = standing
        self.sign_places.append(place)
        self.sign_places_of.setdefault(class_id, []).append(place)
        self.signed_at[place] = frozenset(each for of, each in self.standing if of == class_id)


class Reader:
    """What one seat is given of the log, under one set of facts."""

    def __init__(self, log: Log, seat: Seat, facts: Facts) -> None:
        self._log = log
        self._seat = seat
        self._signatures: dict[str, Signatures] = {}
        self._facts = replace(facts, signatures=lambda class_id: self._signatures.get(class_id, NO_SIGNATURES))
        self._is_open: list[bool] = [False]
        """For each sort, whether the seat reads it at the place looked at last."""
        self._looked = 0
        self._places = array("L")
        self._opened: dict[int, list[int]] = {}
        """By the place of a signature: the places before it that it opened."""

    def look(self) -> None:
        """Settle what the seat is given of all that has arrived."""
        head = self._log.look()
        sort_at, signs = self._log.sort_at, self._log.sign_places
        while self._looked < head:
            at = bisect_left(signs, self._looked)
            end = signs[at] if at < len(signs) else head
            self._ask_of_new_sorts()
            is_open = self._is_open
            self._places.extend(place for place in range(self._looked, end) if is_open[sort_at[place]])
            self._looked = end
            if end < head:
                self._pass_signature(end)

    def places_from(self, place: int, most: int) -> tuple[list[int], bool]:
        """The next places that give the seat something, at most so many, and whether there are further ones."""
        first = bisect_left(self._places, place)
        return self._places[first : first + most].tolist(), first + most < len(self._places)

    def has_from(self, place: int) -> bool:
        """Whether the seat is given anything at or after this place."""
        return bisect_left(self._places, place) < len(self._places)

    def given_at(self, places: list[int]) -> list[Note]:
        """The notes these places give: their own, and those their signatures opened."""
        given = {earlier for place in places for earlier in self._opened.get(place, ())}
        given.update(place for place in places if self._is_open[self._log.sort_at[place]])
        return self._log.notes_at(sorted(given))

    def _ask_of_new_sorts(self) -> None:
        for sort in self._log.sorts[len(self._is_open) :]:
            self._is_open.append(may_read(self._seat, sort.as_note(), self._facts))

    def _pass_signature(self, place: int) -> None:
        log = self._log
        class_id = log.sorts[log.sort_at[place]].class_id
        before = self._signatures.get(class_id, NO_SIGNATURES)
        self._signatures[class_id] = before.after(log.signed_at[place], self._facts.judges_in(class_id))
        opened = set()
        for number in log.sorts_of[class_id]:
            if not self._is_open[number] and may_read(self._seat, log.sorts[number].as_note(), self._facts):
                self._is_open[number] = True
                opened.add(number)
        places = log.places_of[class_id]
        earlier = [each for each in places[: bisect_left(places, place)] if log.sort_at[each] in opened]
        if earlier:
            self._opened[place] = earlier
        if earlier or self._is_open[log.sort_at[place]]:
            self._places.append(place)
        self._looked = place + 1
