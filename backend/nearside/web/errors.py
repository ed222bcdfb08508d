"""Errors as JSON: a code for programs, a sentence for people, and where it was.

The show and the store say no in their own words; here each gets its status. What nobody foresaw is one sentence
outside and, in the log, the kind of error and the places in the code: never its text, which may quote a note. Of the
store's refusals those that are the operator's to mend are logged in words.
"""

from __future__ import annotations

import logging
import traceback

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from nearside.show.refusals import Code, Refusal
from nearside.show.showground import NotYetInLog
from nearside.store.protocol import OperatorMustAct, StoreError
from nearside.web.answers import JSON

log = logging.getLogger("nearside")

STATUS: dict[Code, int] = {
    "not_joined": 401,
    "revoked": 401,
    "wrong_code": 403,
    "too_many_tries": 429,
    "not_your_card": 403,
    "not_your_task": 403,
    "unknown_class": 404,
    "unknown_seat": 404,
    "unknown_entry": 404,
    "unknown_championship": 404,
    "unknown_command": 404,
    "not_now": 409,
    "unknown_device": 404,
    "card_needed": 400,
    "bad_request": 400,
    "too_large": 413,
    "not_kept": 503,
}

# What the framework says by itself: a path or a method nobody serves.
_OF_STATUS = {
    404: ("not_found", "There is nothing at this address."),
    405: ("wrong_method", "This address does not take that kind of request."),
}


def error(status: int, code: str, sentence: str, where: str | None = None, **headers: str) -> JSON:
    """An error as every caller gets it."""
    return JSON({"error": {"code": code, "sentence": sentence, "where": where}}, status, headers)


async def refused(_request: Request, refusal: Exception) -> Response:
    assert isinstance(refusal, Refusal)
    status = STATUS[refusal.code]
    # The rest of a body that is too large is not read: the connection goes.
    headers = {"Connection": "close"} if status == 413 else {}
    return error(status, refusal.code, refusal.sentence, refusal.where, **headers)


async def not_kept(_request: Request, failure: Exception) -> Response:
    """The store could not keep or read what was asked for once, and is not asked for again by itself."""
    return store_refused(
        failure,
        "The show office could not do this just now. Nothing was changed, and it is not tried again by itself: try "
        "again in a moment. If that fails too, the disk of the office's computer may be full.",
    )


def store_refused(failure: Exception, sentence: str) -> Response:
    """The answer where the store could not keep or read."""
    _log_refusal(failure)
    return error(503, "not_kept", sentence, **{"Retry-After": "5"})


async def not_in_log(_request: Request, failure: Exception) -> Response:
    """Done, so no status that asks for it to be sent again."""
    _log_refusal(failure.__cause__ or failure)
    sentence = (
        "This is done; do not do it again. But the disk of the office's computer failed before all of it stood in the "
        "show's log: that is made good before the next change, or when the server starts again. Look after that disk."
    )
    return error(409, "not_in_log", sentence)


def _log_refusal(failure: BaseException) -> None:
    # What the operator must do names a file and a disk; any other text may quote a note.
    told = failure if isinstance(failure, OperatorMustAct) else type(failure).__name__
    log.error("the store refused: %s", told)


async def http_error(_request: Request, failure: Exception) -> Response:
    assert isinstance(failure, HTTPException)
    code, sentence = _OF_STATUS.get(failure.status_code, ("bad_request", "This request cannot be served."))
    return error(failure.status_code, code, sentence, **dict(failure.headers or {}))


def unforeseen(failure: Exception) -> Response:
    """A bug of ours."""
    places = traceback.extract_tb(failure.__traceback__)
    path = " < ".join(f"{place.name} {place.filename.rpartition('/')[2]}:{place.lineno}" for place in reversed(places))
    log.error("unforeseen %s in %s", type(failure).__name__, path)
    return error(500, "unforeseen", "Something went wrong in the show office's program; it is noted in its log.")


HANDLERS = {Refusal: refused, StoreError: not_kept, NotYetInLog: not_in_log, HTTPException: http_error}
