"""What is announced and pinned up: the results, as JSON and as a table."""

from __future__ import annotations

import asyncio
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from nearside.show.chain import printed_head
from nearside.show.championships import named_for
from nearside.show.resultlist import results_csv, results_for
from nearside.web.answers import JSON, packed
from nearside.web.door import device_of, ground_of

_TABLE = {
    "Content-Type": "text/csv; charset=utf-8; header=present",
    "Content-Disposition": 'attachment; filename="results.csv"',
    "Cache-Control": "no-store",
}


async def results(request: Request) -> Response:
    """GET /api/results?class="""
    return packed(request, JSON(await _results(request)))


async def results_table(request: Request) -> Response:
    """GET /api/results.csv?class="""
    return Response(results_csv(await _results(request)), headers=_TABLE)


async def _results(request: Request) -> dict[str, Any]:
    device, ground = device_of(request), ground_of(request)
    class_id = request.query_params.get("class")
    records = ground.records_of_results(device.show)

    def told() -> dict[str, Any]:
        answer = results_for(
            records,
            device.seat,
            lambda each: printed_head(records.notes(each), records.judges_in(each)),
            class_id,
        )
        return answer if class_id else {**answer, "championships": named_for(records, device.seat)}

    # Off the loop: it is some 10 ms for a whole day, and new notes must not wait.
    return await asyncio.to_thread(told)
