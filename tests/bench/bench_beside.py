"""The way of a note beside a general-purpose library's, in the same browser and on the same machine.

PouchDB (npm) keeps documents in the browser's IndexedDB and replicates them to a server that speaks CouchDB's
protocol; `pouchdb-server` (npm, LevelDB) is one. Compared are a mark from the call that stores it, with its place in
the outbox and its undo, to the moment it is durable on the phone (neither paints), and 1,000 notes from phone to
server after an outage, until the last is acknowledged.
PouchDB is given the same durability as ours (IndexedDB's "strict": complete means on the disk), which it does not ask
for by itself, and the library's default of 100 documents a batch is raised to our 200.
The rounds are interleaved and the medians compared, as ours over theirs.
"""

from __future__ import annotations

import re
import socket
import statistics
import subprocess
import tempfile
import time
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from typing import Any

import httpx
from playwright.sync_api import Page, sync_playwright

from tests.browser.phone import Phone, linked
from tests.browser.served import Served, open_show
from tests.js.tools import installed

MARKS, NOTES, OUTAGES = 150, 1000, 5
BATCH = 200

Row = tuple[str, float, float, bool]

# In the page itself, by turns: what a tap writes with ours, and a document of the same content with theirs.
MARKING = linked("""async (marks) => {
    const { session } = await import("/state/session.js");
    const { keepWritten } = await import("/offline/outbox.js");
    const card = session.notebook.card("c4");
    const database = new PouchDB("marks");
    await database.info();
    const rested = () => new Promise((done) => setTimeout(done, 30));
    const ours = [];
    const theirs = [];
    for (let mark = 0; mark < marks; mark += 1) {
        const number = card.horses[mark % card.horses.length].number;
        const draft = { kind: "mark", number, trait: "topline", view: "profile", degree: 1 + (mark % 3) };
        await rested();
        let start = performance.now();
        const note = card.stamped(draft, Date.now());
        await keepWritten("beside", [note], [{ class: "c4", words: "a mark", notes: [{ id: note.id, before: null }] }]);
        ours.push(performance.now() - start);
        await rested();
        start = performance.now();
        const same = card.stamped(draft, Date.now());
        await database.put({ _id: same.id, ...same });
        theirs.push(performance.now() - start);
    }
    return [ours, theirs];
}""")
# A thousand remarks written while the server is away.
OUR_NOTES = linked("""async ([notes, round]) => {
    const { session } = await import("/state/session.js");
    const drafts = [];
    for (let each = 0; each < notes; each += 1) {
        drafts.push({ kind: "remark", number: "7", text: `round ${round}, remark ${each}`, tag: null });
    }
    await session.notebook.write("c4", drafts, "a thousand").kept;
}""")
OUR_SENDING = linked("""async (notes) => {
    const { session } = await import("/state/session.js");
    if (session.counts.waiting !== notes) throw new Error(`${session.counts.waiting} wait when the clock starts`);
    const start = performance.now();
    void session.tryNow();
    while (session.counts.waiting > 0) await new Promise((done) => setTimeout(done));
    return performance.now() - start;
}""")
THEIR_NOTES = """async ([notes, round]) => {
    const documents = [];
    for (let each = 0; each < notes; each += 1) {
        documents.push({
            _id: crypto.randomUUID(), kind: "remark", card: "judge-a", by: "judge-a", at: Date.now(), replaces: [],
            class: "c4", number: "7", text: `round ${round}, remark ${each}`, tag: null,
        });
    }
    await outageDb.bulkDocs(documents);
}"""
THEIR_SENDING = """async ([address, batch]) => {
    const start = performance.now();
    const done = await outageDb.replicate.to(address, { batch_size: batch });
    if (!done.ok) throw new Error(JSON.stringify(done.errors));
    return [performance.now() - start, done.docs_written];
}"""
STRICT = """
const plain = IDBDatabase.prototype.transaction;
IDBDatabase.prototype.transaction = function (stores, mode, options) {
    return plain.call(this, stores, mode, mode === "readwrite" ? { ...options, durability: "strict" } : options);
};
"""


class Quiet(SimpleHTTPRequestHandler):
    """A file server that says nothing."""

    def log_message(self, *_: Any) -> None:
        return


def main() -> list[Row]:
    """Ours over theirs, twice; below 1 is faster."""
    modules = installed("beside", pouchdb="9.0.0", pouchdb_server="4.2.0")
    if modules is None:
        raise SystemExit(1)
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        folder = Path(name)
        (folder / "site").mkdir()
        (folder / "site" / "index.html").write_text(
            "<!doctype html><title>beside</title><script src=pouchdb.js></script>"
        )
        library = (modules / "pouchdb" / "dist" / "pouchdb.min.js").read_text()
        (folder / "site" / "pouchdb.js").write_text(library)
        site = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(folder / "site")))
        Thread(target=site.serve_forever, daemon=True).start()
        couch = Couch(modules, folder / "couch")
        server = Served(folder / "data", open_show(folder / "data"))
        phone = Phone(playwright, folder / "phone", server)
        try:
            phone.join()
            phone.open_class()
            phone.expect_saved("At the office")
            theirs = phone.context.new_page()
            theirs.add_init_script(STRICT)
            theirs.goto(f"http://127.0.0.1:{site.server_port}/")
            theirs.evaluate("window.outageDb = new PouchDB('outage');")
            return [_marks(phone, library), _outage(phone, theirs, server, couch)]
        finally:
            phone.close()
            server.kill()
            couch.close()
            site.shutdown()
            site.server_close()


class Couch:
    """The other server, on a port of its own."""

    def __init__(self, modules: Path, folder: Path) -> None:
        folder.mkdir()
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            port = probe.getsockname()[1]
        self.address = f"http://127.0.0.1:{port}"
        words = [
            str(modules / ".bin" / "pouchdb-server"),
            "--port",
            str(port),
            "--dir",
            str(folder),
            "--no-stdout-logs",
        ]
        self._process = subprocess.Popen(words, cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        for _ in range(300):
            try:
                httpx.get(self.address).raise_for_status()
                return
            except httpx.HTTPError:
                time.sleep(0.1)
        raise RuntimeError("pouchdb-server did not answer within 30 s")

    def count(self, database: str) -> int:
        count: int = httpx.get(f"{self.address}/{database}").json()["doc_count"]
        return count

    def close(self) -> None:
        self._process.terminate()
        self._process.wait()


def _marks(phone: Phone, library: str) -> Row:
    phone.page.evaluate(f"() => {{ {STRICT} }}")
    phone.page.evaluate(f"() => {{ {library}\n }}")
    ours, theirs = phone.page.evaluate(MARKING, MARKS)
    us, them = statistics.median(ours), statistics.median(theirs)
    return _row(f"a mark until it is durable on the phone, {us:.1f} ms over PouchDB's {them:.1f} ms", us / them)


def _outage(phone: Phone, theirs: Page, server: Served, couch: Couch) -> Row:
    taken_ours: list[float] = []
    taken_theirs: list[float] = []
    for outage in range(OUTAGES):
        phone.expect_saved("At the office")
        server.kill()
        phone.page.bring_to_front()
        phone.page.evaluate(OUR_NOTES, [NOTES, outage])
        server.start()
        taken_ours.append(phone.page.evaluate(OUR_SENDING, NOTES))
        theirs.bring_to_front()
        theirs.evaluate(THEIR_NOTES, [NOTES, outage])
        ms, written = theirs.evaluate(THEIR_SENDING, [f"{couch.address}/outage", BATCH])
        assert written == NOTES, written
        taken_theirs.append(ms)
    kept = [each for each in server.notes_of("judge") if each["kind"] == "remark"]
    assert len(kept) == NOTES * OUTAGES == couch.count("outage")
    assert all(re.fullmatch(r"round \d, remark \d+", each["text"]) for each in kept)
    us, them = statistics.median(taken_ours), statistics.median(taken_theirs)
    return _row(f"1,000 notes to the server after an outage, {us:.0f} ms over PouchDB's {them:.0f} ms", us / them)


def _row(label: str, ratio: float) -> Row:
    return label, ratio, 1.0, ratio < 1.0


if __name__ == "__main__":
    for name, value, bar, is_met in main():
        print(f"{'met ' if is_met else 'MISS'}  {value:8.3f}  bar {bar:g}  {name}")
