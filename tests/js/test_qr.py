"""The page's own QR codes, digests and card links, judged by programs that are not ours."""

from __future__ import annotations

import hashlib
import random
import string
from typing import Any

import numpy as np
import segno
import zxingcpp

from tests.js.asking import asked

SIGNS = string.digits + string.ascii_uppercase + " $%*+-./:"
DRAW = """
import { qr } from "./lib/qr.js";
import { sha256 } from "./lib/sha256.js";
answer((text) => {
    const code = qr(text);
    const all = Array.from({ length: code?.size ?? 0 }, (_, at) => at);
    return {
        digest: sha256(text),
        version: code?.version ?? null,
        mask: code?.mask,
        rows: all.map((y) => all.map((x) => (code.isDark(x, y) ? 1 : 0))),
    };
});
"""
LINK = """
import { linkOf, readLink, signedCard } from "./state/cardlink.js";
import { qr } from "./lib/qr.js";
answer((card) => {
    const signed = signedCard(card);
    const link = linkOf(signed, "https://ringside.show.example");
    return { signed, link, read: readLink(link), size: qr(link).size };
});
"""
READ = """
import { readLink } from "./state/cardlink.js";
answer(readLink);
"""


def picture(rows: list[list[int]]) -> Any:
    """What a camera would see: four pixels a module, black on white, with a light border."""
    light = np.pad(1 - np.array(rows, dtype=np.uint8), 4, constant_values=1)
    return np.kron(light, np.ones((4, 4), dtype=np.uint8)) * 255


def test_every_text_is_read_back_by_another_decoder_and_drawn_as_another_encoder_draws_it() -> None:
    draw = random.Random(20)
    pick = draw.choices
    texts = ["A", "7", "HELLO WORLD", "https://show.example/#card=1:C4:7.12.31", "Fohlen, jährig 🐴", "x" * 662]
    texts += ["".join(pick(SIGNS, k=length)) for length in range(1, 960, 23)]
    texts += ["".join(pick(string.ascii_lowercase, k=length)) for length in range(2, 660, 47)]
    texts += ["https://show.example/#card=" + "".join(pick(SIGNS, k=length)) for length in range(1, 900, 97)]
    versions, same, same_masks = set(), 0, 0
    for text, code in zip(texts, asked(DRAW, texts), strict=True):
        assert code["digest"] == hashlib.sha256(text.encode()).hexdigest()
        versions.add(code["version"])
        (read,) = zxingcpp.read_barcodes(picture(code["rows"]))
        assert read.text == text
        assert read.ec_level == "M"
        # In one mode alone, so that both encoders cut the text the same way.
        mode = "alphanumeric" if set(text) <= set(SIGNS) else "byte" if text.islower() and text.isalpha() else None
        if mode is None:
            continue
        if code["version"] < 8:  # it takes its time to choose a mask
            other = segno.make(text, error="m", boost_error=False, micro=False, mode=mode)
            assert other.version == code["version"]
            same_masks += other.mask == code["mask"]
        other = segno.make(text, version=code["version"], mask=code["mask"], error="m", boost_error=False, mode=mode)
        if ends_within_a_codeword(text, mode, code["version"]):
            assert [list(row) for row in other.matrix] == code["rows"], text
            same += 1
    assert versions == set(range(1, 21))
    assert same > 30
    assert same_masks > 5  # where the two weigh the same looks, they come to the same mask


def ends_within_a_codeword(text: str, mode: str, version: int) -> bool:
    """Where data and end mark fill their last codeword, segno 1.6 pads with one codeword of zeros more than the
    standard (7.4.10) has; a reader skips them, but the matrices differ.
    """
    large = version > 9
    if mode == "byte":
        bits = 4 + (16 if large else 8) + 8 * len(text)
    else:
        bits = 4 + (11 if large else 9) + 11 * (len(text) // 2) + 6 * (len(text) % 2)
    return (bits + 4) % 8 != 0


def test_what_is_too_long_for_version_20_gets_no_code_rather_than_a_wrong_one() -> None:
    longest, too_long = asked(DRAW, ["x" * 666, "x" * 667])  # table 7 of the standard: 666 bytes at 20-M
    assert longest["version"] == 20
    assert (too_long["version"], too_long["rows"]) == (None, [])


def test_a_card_of_thirty_horses_is_read_back_from_its_link_and_makes_a_coarse_code() -> None:
    numbers = [str(number) for number in range(500, 530)]
    card: dict[str, Any] = {
        "show": "mill-meadow-open-show-2026",
        "class": "c4",
        "title": "Stock type mares and geldings of four years and over",
        "card": "judge-a",
        "order": numbers[:24],
        "unplaced": [{"number": each, "standing": "absent"} for each in numbers[24:]],
        "signed_at": 1764061200000,
    }
    odd = {**card, "title": "Ä “B” 100 %: c.d/e*f$g+h-🐴", "class": "Half-bred", "order": ["1234AB", "0", "T1"]}
    standings = ["not_placed", "absent", "left_out", "not_looked", "excused", "disqualified", "absent"]
    odd["unplaced"] = [{"number": str(at), "standing": each} for at, each in enumerate(standings, 7)]
    large, small = asked(LINK, [card, odd])
    assert large["read"] == {"card": large["signed"], "fits": True}
    assert (large["signed"]["title"], large["size"] <= 61) == ("Stock type mares and geldings o…", True)
    assert small["read"] == {"card": small["signed"], "fits": True}
    assert small["signed"]["title"] == odd["title"]
    assert {"*" + each["number"] + each["standing"] for each in small["signed"]["unplaced"]} == {
        "*" + each["number"] + each["standing"] for each in odd["unplaced"]
    }
    # Whatever one sign is turned into another, the digest does not fit or nothing is read at all.
    link = large["link"]
    start = link.index("#card=") + len("#card=")
    damaged = [link[:at] + ("8" if link[at] != "8" else "3") + link[at + 1 :] for at in range(start, len(link))]
    damaged += [link[:-at] for at in range(1, 40)] + ["", "https://show.example/", "nonsense:1:2"]
    for text, read in zip(damaged, asked(READ, damaged), strict=True):
        assert read.get("fits") is False or "no link of a signed card" in read.get("problem", ""), text
