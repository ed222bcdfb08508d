"""The card kept up to date tap by tap is the card merged whole."""

from __future__ import annotations

from tests.browser.phone import Phone, linked
from tests.browser.served import Served

WALK = linked("""async (seed) => {
    const { Card } = await import("/state/card.js");
    let state = seed;
    const draw = (below) => (state = (state * 48271) % 2147483647) % below;
    const seat = { id: "judge-a", role: "judge", name: "", card: "judge-a" };
    const standard = { key: "s", views: ["v", "w"], degrees: [1, 2, 4], criteria: [] };
    const dayClass = { id: "c", standard: "s", sexes: ["mare"], entries: [{ number: "1" }, { number: "2" }] };
    const notes = new Map();
    const put = (card, note) => {
        notes.set(note.id, note);
        return card.after([note]) ?? new Card(dayClass, standard, notes, seat);
    };
    const said = (card) => JSON.stringify([
        [...card.slots].sort(([a], [b]) => (a < b ? -1 : 1)), card.disputes, [...card.seen].sort(),
        card.horses.map((horse) => horse.number).sort(), [...card.readsAs],
    ]);
    let card = new Card(dayClass, standard, notes, seat);
    let shortened = 0;
    for (let step = 0; step < 400; step += 1) {
        const number = ["1", "2", "T1"][draw(3)];
        const draft = [
            { kind: "mark", number, trait: ["a", "b"][draw(2)], view: "v", degree: [null, -1, 2][draw(3)] },
            { kind: "looked", number, view: ["v", "w"][draw(2)], done: draw(2) ? true : null },
            { kind: "entry", number: "T1", identification: null, now: draw(2) ? "2" : null },
        ][draw(12) === 0 ? 2 : draw(2)];
        const note = card.stamped(draft, step);
        note.id = `n${step}`;
        if (draw(4) === 0) note.replaces = []; // another device, which knew nothing of the others
        if (card.after([note]) !== null) shortened += 1;
        card = put(card, note);
        if (said(card) !== said(new Card(dayClass, standard, notes, seat))) return `differs after step ${step}`;
    }
    return shortened;
}""")


def test_a_card_after_each_of_400_notes_is_the_same_as_merged_whole(phone: Phone, server: Served) -> None:
    phone.page.goto(f"{server.address}/")
    for seed in (1, 20, 300):
        shortened = phone.page.evaluate(WALK, seed)
        assert isinstance(shortened, int), shortened
        assert shortened > 100  # the short way was taken, not only the whole one
