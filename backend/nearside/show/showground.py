"""The showground: every show of one data folder, and the devices that have joined.

A device is known by its token alone; of token and code only digests are looked up, so nothing can be learned from how
long a wrong one takes. A revoked device is remembered, to be told why it is turned away; one that left is forgotten.
Changes of the catalogue come one at a time and are on the disk before anybody is told. `change` is the one way by
which the records of a running show change: planned, written, taken up by the show, and made known.
"""

from __future__ import annotations

import asyncio
import secrets
import threading
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, NamedTuple

from nearside.show.asked import needed_text
from nearside.show.codes import Throttle, digest, new_token, tidy_code
from nearside.show.folder import catalogue_path, open_notes
from nearside.show.opening import OpenedSeat, new_secret, new_show_id, opening_changes, seats_asked
from nearside.show.records import Planned, Records, read_records
from nearside.show.refusals import CannotOpen, Refusal
from nearside.show.running import RunningShow
from nearside.show.seats import Seat
from nearside.store.catalogue import TABLES, TinyCatalogue
from nearside.store.protocol import Catalogue, Change, Note, NoteStore, Record, StoreError

NOT_JOINED = "This device has no seat yet. Type the code from the show office, or open its link."
REVOKED = "The show office has taken this device off its seat. Ask there for a code to join again."
WRONG_OPENING_CODE = (
    "This is not the code that opens a show here. It stands where the server was started, new at each start."
)
WRONG_CODE = "No seat has this code. Check it on the slip: 8 letters and digits, no O, I, L, 0 or 1 among them."

Plan = Callable[[Records], Planned]

MOST_PLANS = 3
"""Of one change, before the log is held for it: a plan takes some 10 ms, and notes come seldom so close together."""

_OF_THE_MARKS = frozenset(("mark", "looked", "remark", "over", "order"))


class Made(NamedTuple):
    """A change that is written: the devices turned away by it, and the seats it concerns."""

    turned_away: list[str]
    concerns: Callable[[Seat], bool]


class NotYetInLog(StoreError):
    """A change that is made, whose notes the log could not take: it gets them before the next one, or at the start."""

    def __init__(self, made: Made) -> None:
        super().__init__("The records were changed, but the log could not take the notes that belong to the change.")
        self.made = made


class Heard(NamedTuple):
    """When a device was heard from last, and how many notes waited on it then, where it said so."""

    at: int
    waiting: int | None


@dataclass(frozen=True, slots=True)
class Device:
    """A joined device: which show it is at, and on which seat."""

    id: str
    show: RunningShow
    seat_id: str
    is_revoked: bool

    @property
    def seat(self) -> Seat:
        """The seat as it is now. Raises: Refusal where it was taken away since the device was looked up."""
        seat = self.show.seats.get(self.seat_id)
        if seat is None:
            raise Refusal("revoked", REVOKED)
        return seat


class Showground:
    """The shows of one catalogue. `open_notes` opens the log of a show by its id."""

    def __init__(self, catalogue: Catalogue, open_notes: Callable[[str], NoteStore]) -> None:
        self.catalogue = catalogue
        self.throttle = Throttle()
        self.shows: dict[str, RunningShow] = {}
        self._open_notes = open_notes
        self._opening: str | None = None
        self._changing = threading.Lock()
        self._stores: list[NoteStore] = []
        self._codes: dict[str, tuple[RunningShow, str]] = {}
        self._devices: dict[str, Device] = {}
        self._heard: dict[str, Heard] = {}
        """By device, since the server started: too much coming and going to be written down."""
        try:
            self._give_secrets()
            self._revoke_of_seats_gone()
            for record in catalogue.all("shows"):
                self._write_promised(self._run(record["id"], self._open_notes(record["id"])))
            for record in catalogue.all("seats"):
                self._take_seat(record)
            for record in catalogue.all("devices"):
                self._devices[record["token"]] = self._device_of(record)
        except BaseException:
            self._close_stores()
            raise

    @classmethod
    def in_folder(cls, data: Path) -> Showground:
        """The showground kept in a folder. Raises: StoreError, CannotOpen."""
        catalogue = TinyCatalogue(catalogue_path(data))
        try:
            return cls(catalogue, lambda show_id: open_notes(data, show_id))
        except BaseException:
            catalogue.close()
            raise

    def device(self, token: str | None) -> Device:
        """The device with this token. Raises: Refusal for one that is unknown or was revoked."""
        found = self._devices.get(digest(token)) if token else None
        if found is None:
            raise Refusal("not_joined", NOT_JOINED)
        if found.is_revoked:
            raise Refusal("revoked", REVOKED)
        return found

    def heard_from(self, device: Device, now_ms: int, waiting: int | None = None) -> None:
        """A device has been heard from; `waiting` is how many notes it says wait on it."""
        before = self._heard.get(device.id)
        self._heard[device.id] = Heard(now_ms, before.waiting if waiting is None and before is not None else waiting)

    def seat_with(self, typed: str) -> tuple[RunningShow, Seat]:
        """The seat this code leads to, and its show. Raises: Refusal for a wrong code."""
        code = tidy_code(typed)
        found = self._codes.get(digest(code)) if code is not None else None
        seat = found[0].seats.get(found[1]) if found is not None else None
        if found is None or seat is None:
            raise Refusal("wrong_code", WRONG_CODE, "code")
        return found[0], seat

    def join(self, typed: str, old_token: str | None, now_ms: int) -> tuple[Device, str, Device | None]:
        """A device for the seat with this code, its token, and the browser's former device, now forgotten.

        Raises: Refusal for a wrong code.
        """
        token = new_token()
        with self._changing:
            show, seat = self.seat_with(typed)  # here, for a change that was waited for may have taken the code away
            record: Record = {
                "id": secrets.token_hex(8),
                "show": show.id,
                "seat": seat.id,
                "token": digest(token),
                "joined_at": now_ms,
                "revoked": False,
            }
            old = self._devices.get(digest(old_token)) if old_token else None
            changes = [Change("devices", record["id"], record)]
            if old is not None:
                changes.append(Change("devices", old.id, None))
            self.catalogue.change(changes)
            if old is not None and old_token:
                del self._devices[digest(old_token)]
            device = self._devices[record["token"]] = self._device_of(record)
        return device, token, old

    def allow_opening(self, code: str) -> None:
        """Let whoever has this code open shows here."""
        self._opening = digest(code)

    def check_opening(self, typed: str) -> None:
        """Raises: Refusal for a code that opens no show here."""
        code = tidy_code(typed)
        if code is None or self._opening is None or not secrets.compare_digest(digest(code), self._opening):
            raise Refusal("wrong_code", WRONG_OPENING_CODE, "code")

    def open_show(self, title: str, now_ms: int) -> OpenedSeat:
        """A new show that runs at once: no class yet, and one seat, its office. Raises: Refusal, StoreError."""
        title = needed_text(title, "title")
        show_id = new_show_id()
        with self._changing:
            changes, (office,) = opening_changes(self.catalogue, show_id, title, [], seats_asked([], show_id), now_ms)
            store = self._open_notes(show_id)  # first: a log nobody looks for until the catalogue names the show
            try:
                self.catalogue.change(changes)
            except BaseException:
                store.close()
                raise
            self._run(show_id, store)
            self._take_seat(changes[1].record or {})
        return office

    def leave(self, token: str) -> Device | None:
        """Forget a device; None where there was none."""
        with self._changing:
            device = self._devices.get(digest(token))
            if device is not None:
                self.catalogue.change([Change("devices", device.id, None)])
                del self._devices[digest(token)]
            return device

    def devices_of(self, show: RunningShow) -> list[dict[str, Any]]:
        """The devices of a show as its office sees them, oldest first.

        `seen_at` and `waiting` are null for one that was not heard from since the server started.
        """
        records = [each for each in self.catalogue.all("devices") if each["show"] == show.id]
        devices = []
        for each in sorted(records, key=lambda each: (each["joined_at"], each["id"])):
            heard = self._heard.get(each["id"])
            devices.append(
                {
                    "id": each["id"],
                    "seat": each["seat"],
                    "joined_at": each["joined_at"],
                    "seen_at": heard and heard.at,
                    "waiting": heard and heard.waiting,
                    "revoked": each["revoked"],
                }
            )
        return devices

    def revoke(self, show: RunningShow, device_id: str) -> Device:
        """Turn a device of this show away from now on. Raises: Refusal where the show has no such device."""
        with self._changing:
            record = self.catalogue.get("devices", device_id)
            if record is None or record["show"] != show.id:
                raise Refusal("unknown_device", "This show has no such device; open the list of devices again.", "id")
            record = {**record, "revoked": True}
            self.catalogue.change([Change("devices", device_id, record)])
            device = self._devices[record["token"]] = self._device_of(record)
            return device

    async def change(self, show: RunningShow, plan: Plan) -> None:
        """Change records of a running show: all that `plan` makes of them, or nothing.

        The plan is made and written on a thread, one at a time; then the show goes on with the new records, devices
        that were turned away are told by the end of their streams, and the bell of those it concerns rings. A caller
        that goes away meanwhile stops nothing. Raises: what the plan raises, StoreError; nothing was changed then. But
        NotYetInLog where the records were written, and everybody was told, before the log could take the notes of the
        plan.
        """
        await asyncio.shield(asyncio.ensure_future(self._change(show, plan)))

    def records(self, show: RunningShow) -> Records:
        """The records of a show as they stand on the disk."""
        return read_records(self.catalogue, show.id, show.store.of_class)

    def records_of_results(self, show: RunningShow) -> Records:
        """The same for what is worked out of signatures, gate, rulings and lameness calls, as the results are.

        Nearly all notes are marks and looks, and these need not be read. To be asked for on the loop, for the log is
        looked at; the notes may then be read on a thread.
        """
        show.log.look()
        places = show.log.places_without(_OF_THE_MARKS)
        return replace(self.records(show), notes=lambda class_id: show.log.notes_at(places.get(class_id, [])))

    def as_it_stands(self, show: RunningShow) -> tuple[dict[str, list[Record]], list[Note]]:
        """The catalogue's tables and a show's notes as they are between two changes. For a thread to ask."""
        with self._changing:
            tables = {table: self.catalogue.all(table) for table in TABLES}
            head = show.store.head()
        return tables, show.store.since(0, head).notes if head else []

    def end_streams(self) -> None:
        """Close every open stream, for the server is about to stop."""
        for show in self.shows.values():
            show.bell.end()

    async def close(self) -> None:
        """Write what waits, then let the logs and the catalogue go."""
        for show in self.shows.values():
            await show.group.close()
        self._close_stores()
        self.catalogue.close()

    def _close_stores(self) -> None:
        for store in self._stores:
            store.close()

    async def _change(self, show: RunningShow, plan: Plan) -> None:
        half_done: NotYetInLog | None = None
        try:
            made = await asyncio.to_thread(self._make, show, plan)
        except NotYetInLog as found:
            half_done, made = found, found.made
        if made is None:
            return
        turned_away, concerns = made
        show.take(self.records(show))  # the newest there are, so that of two changes the later is never lost
        for device in turned_away:
            show.bell.end(device)
        show.bell.ring(concerns)
        if half_done is not None:
            raise half_done

    def _make(self, show: RunningShow, plan: Plan) -> Made | None:
        """Plan and write; the devices turned away by it and whom it concerns, None where nothing was to change.

        A plan looks at the notes, so it is made again where one came meanwhile; a log that does not stand still for it
        is held in the end. From the last look until the records are written, nothing comes to the log.
        """
        with self._changing:
            self._write_promised(show)
            for _ in range(MOST_PLANS):
                head = show.store.head()
                asked_for = plan(self.records(show))
                if show.store.head() == head:
                    break
            with show.store.held():
                if show.store.head() != head:
                    asked_for = plan(self.records(show))
                turned_away = self._write(show, asked_for)
            if turned_away is None:
                return None
            made = Made(turned_away, asked_for.concerns)
            try:
                self._write_promised(show)
            except StoreError as failure:
                raise NotYetInLog(made) from failure
            return made

    def _write(self, show: RunningShow, asked_for: Planned) -> list[str] | None:
        """Write what a plan asks for, and go by it from now on; its notes are promised."""
        changes, notes, _ = asked_for
        if not changes and not notes:
            return None
        changes = [*changes, *self._promise(show, changes, notes)]
        former = {each.key: self.catalogue.get("seats", each.key) for each in changes if each.table == "seats"}
        self.catalogue.change(changes)
        turned_away = []
        for table, key, record in changes:
            if table == "seats" and record is not None:
                before = former[key]
                if before is not None:
                    self._codes.pop(digest(before["code"]), None)
                self._take_seat(record)
            elif table == "devices" and record is not None:
                self._devices[record["token"]] = self._device_of(record)
                turned_away += [record["id"]] if record["revoked"] else []
        return turned_away

    def _promise(self, show: RunningShow, changes: Sequence[Change], notes: Sequence[Record]) -> list[Change]:
        """Notes that belong to a change are kept with it and then written to the log, so that they come both or not."""
        if not notes:
            return []
        record = next((each.record for each in changes if each.table == "shows"), None)
        record = record or self.records(show).show
        return [Change("shows", show.id, {**record, "promised": list(notes)})]

    def _write_promised(self, show: RunningShow) -> None:
        record = self.records(show).show
        if "promised" in record:
            show.store.append(record.pop("promised"))
            self.catalogue.change([Change("shows", show.id, record)])

    def _give_secrets(self) -> None:
        """Shows that an earlier version opened have none yet."""
        without = [each for each in self.catalogue.all("shows") if "secret" not in each]
        if without:
            self.catalogue.change([Change("shows", each["id"], {**each, "secret": new_secret()}) for each in without])

    def _revoke_of_seats_gone(self) -> None:
        """A device on a seat that was taken away is revoked, also where an earlier version let it join just then."""
        gone = {(each["show"], each["id"]) for each in self.catalogue.all("seats") if each.get("gone")}
        left = [each for each in self.catalogue.all("devices") if (each["show"], each["seat"]) in gone]
        changes = [Change("devices", each["id"], {**each, "revoked": True}) for each in left if not each["revoked"]]
        if changes:
            self.catalogue.change(changes)

    def _run(self, show_id: str, store: NoteStore) -> RunningShow:
        self._stores.append(store)
        show = RunningShow(read_records(self.catalogue, show_id, store.of_class), store)
        self.shows[show_id] = show
        return show

    def _take_seat(self, record: Record) -> None:
        """A seat's code leads to it, unless it is gone."""
        show = self.shows.get(record["show"])
        if show is None:
            raise _names_nothing(record["show"], record["id"])
        if not record.get("gone"):
            self._codes[digest(record["code"])] = (show, record["id"])

    def _device_of(self, record: Mapping[str, Any]) -> Device:
        show = self.shows.get(record["show"])
        if show is None or not (record["revoked"] or record["seat"] in show.seats):
            raise _names_nothing(record["show"], record["seat"])
        return Device(record["id"], show, record["seat"], record["revoked"])


def _names_nothing(show_id: str, seat_id: str) -> CannotOpen:
    return CannotOpen(f"The catalogue names a seat that is not there: {show_id} / {seat_id}")
