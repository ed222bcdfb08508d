"""Words for a recorded comparison, in the words of the standard. Does no arithmetic and decides nothing.

Every pattern comes from `words.json`, every trait's words from the standard; this module only chooses among them by
what the comparison says, and fills in numbers. A trait is named only where the two horses' own marks differ that way.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any, NamedTuple

from .sheets import Scheme

TRAITS_NAMED = 3  # what a listener keeps in mind of one comparison
ALL_WEIGHINGS, HALF_OF_WEIGHINGS = 1000, 500


class Comparison(NamedTuple):
    """A pair as compared, with what a sentence needs beyond the pair itself."""

    pair: Mapping[str, Any]
    differs: bool  # whether any criterion's score differs
    same_tier: bool
    last_by_call: bool  # the lower horse is last for its standing call, not by ruling
    grade: int  # the lower horse's standing call, 0 for none
    by_veterinarian: bool
    only_upper_seen: Sequence[str]  # views
    only_lower_seen: Sequence[str]


def sentence(comparison: Comparison, scheme: Scheme, words: Mapping[str, Any]) -> str:
    """The pair in words: what it rests on, the traits, the strongest grant, how firm it is, what was not seen."""
    pair, patterns = comparison.pair, words["sentence"]
    parts = [
        *_grounds(comparison, scheme, words),
        *_grant(pair, scheme, words),
        *_firmness(comparison, scheme, patterns),
    ]
    unseen = (
        (pair["lower"], pair["upper"], comparison.only_upper_seen),
        (pair["upper"], pair["lower"], comparison.only_lower_seen),
    )
    for number, other, views in unseen:
        if views:
            seen_from = listed([view_phrase(view, words) for view in views], words)
            parts.append(fill(patterns["unseen"], {"number": number, "other": other, "views": seen_from}))
    return " ".join(parts)


def fill(pattern: str, values: Mapping[str, str]) -> str:
    """The pattern with each `{name}` replaced once; what is put in is never read as a pattern itself.

    >>> fill("{a} over {b}", {"a": "{b}", "b": "7"})
    '{b} over 7'
    """
    return pattern.format_map(values)


def listed(phrases: Sequence[str], words: Mapping[str, Any]) -> str:
    """Phrases as a list in a sentence: `a`, `a and b`, `a, b, and c`; a comma more where a phrase holds an `and`."""
    if len(phrases) < 2:
        return "".join(phrases)
    joints = words["list"]
    is_plain = len(phrases) == 2 and not any(joints["last_of_two"] in phrase for phrase in phrases)
    last = joints["last_of_two"] if is_plain else joints["last"]
    return str(joints["between"].join(phrases[:-1]) + last + phrases[-1])


def view_phrase(view: str, words: Mapping[str, Any]) -> str:
    """Where one stands to see it, as it is said: `from the rear`."""
    known = words["views"].get(view)
    return str(known["from"]) if known else fill(words["other_view"], {"view": view})


def better_side(trait_keys: Sequence[str], scheme: Scheme, words: Mapping[str, Any]) -> str:
    """The better horse's side of some traits, to follow `is`: comparatives, then of which faults it has less."""
    traits = [scheme.traits[scheme.place_of[key]] for key in trait_keys]
    phrases = [str(trait["more"]) for trait in traits if trait.get("more") is not None]
    faults = [trait["faulty"] for trait in traits if trait.get("more") is None]
    if faults:
        phrases.append(fill(words["less_faulted"], {"faulty": listed(faults, words)}))
    return listed(phrases, words)


def spoken(title: str) -> str:
    """A title inside a sentence: its first letter small."""
    return title[:1].lower() + title[1:] if "A" <= title[:1] <= "Z" else title


def _grounds(comparison: Comparison, scheme: Scheme, words: Mapping[str, Any]) -> list[str]:
    """What the pair rests on, the basis first."""
    pair, patterns = comparison.pair, words["sentence"]
    names = {"upper": pair["upper"], "lower": pair["lower"]}
    basis = pair["basis"]
    if basis == "rule":
        names["grade"] = words["grades"][comparison.grade]
        return [fill(patterns[_rule_pattern(comparison)], names)]
    if basis in ("call", "carried"):
        said = [fill(patterns["carried"], names)] if basis == "carried" else [_called(pair, patterns, names)]
        named = [each["trait"] for each in pair["for"]][:TRAITS_NAMED]
        if named:
            said.append(fill(patterns["marks"], {**names, "traits": better_side(named, scheme, words)}))
        return said
    if pair["decided_by"] is None:
        return [fill(patterns["even"], names)]
    titles = {criterion["key"]: criterion["title"] for criterion in scheme.standard["criteria"]}
    names["criterion"] = spoken(titles[pair["decided_by"]])
    named = [each["trait"] for each in pair["for"] if each["criterion"] == pair["decided_by"]][:TRAITS_NAMED]
    names["traits"] = better_side(named, scheme, words)
    pattern = "notes" if basis == "notes" else "even_first"
    return [fill(patterns[pattern if named else f"{pattern}_as_a_whole"], names)]


def _rule_pattern(comparison: Comparison) -> str:
    if comparison.same_tier:
        return "more_lame"
    if not comparison.last_by_call:
        return "last_by_ruling"
    return "last_by_veterinarian" if comparison.by_veterinarian else "last_by_call"


def _called(pair: Mapping[str, Any], patterns: Mapping[str, str], names: Mapping[str, str]) -> str:
    numbers = pair["chain"]
    if len(numbers) == 2:
        return fill(patterns["call"], names)
    links = [fill(patterns["chain_link"], {"winner": winner, "loser": loser}) for winner, loser in pairwise(numbers)]
    return fill(patterns["call_chain"], {**names, "chain": patterns["chain_between"].join(links)})


def _grant(pair: Mapping[str, Any], scheme: Scheme, words: Mapping[str, Any]) -> list[str]:
    if not pair["grants"]:
        return []
    strongest = better_side([pair["grants"][0]["trait"]], scheme, words)
    return [fill(words["sentence"]["grant"], {"lower": pair["lower"], "traits": strongest})]


def _firmness(comparison: Comparison, scheme: Scheme, patterns: Mapping[str, str]) -> list[str]:
    """How firm the pair is, the margin first, then the weighing; for calls, what the notes alone say."""
    pair = comparison.pair
    names = {"lower": pair["lower"], "first": spoken(scheme.standard["criteria"][0]["title"])}
    basis, margin = pair["basis"], pair["margin"]
    if basis == "rule":
        return []
    if basis in ("call", "carried"):
        said = "notes_agree" if margin > 0 else "notes_level" if margin == 0 else "notes_against"
        return [fill(patterns[said], names)]
    share = pair["share"]
    weighing = "firm" if share == ALL_WEIGHINGS else "turns" if share >= HALF_OF_WEIGHINGS else "other_way"
    firmness = [patterns["one_step"]] if pair["one_step"] else []
    if comparison.differs and pair["one_step"] and weighing == "firm":
        firmness = [fill(patterns["one_step_firm"], names)]
    elif comparison.differs:
        firmness.append(fill(patterns[weighing], names))
    return firmness
