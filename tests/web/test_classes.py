"""Placing and class file over HTTP; what they seal is proved with the cards themselves."""

from __future__ import annotations

from pathlib import Path

from nearside.engine.placing import place
from nearside.show.classfile import read_class_file
from nearside.show.standards import words
from tests.show.ground import note
from tests.web.house import house


def test_the_downloaded_file_gives_the_placing_the_server_gives(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        web.push("judge-a", note("mark", "judge-a", number="30"), note("mark", "judge-a", number="7", degree=-2))
        answer = web.get("/api/classes/c1/placing", "scribe-a").json()
        download = web.get("/api/classes/c1/file?card=judge-a", "scribe-a")
        assert download.headers["content-disposition"] == 'attachment; filename="test-show-c1-judge-a.json"'
        class_file, standard = read_class_file(download.content)
        assert place(class_file, standard, words()) == answer
        assert answer["placing"] == ["30", "7"]


def test_another_judge_s_card_is_refused_and_nothing_of_it_is_in_the_answer(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        web.push("judge-b", note("mark", "judge-b", number="Z9Z9"), note("remark", "judge-b", text="hidden words"))
        for seat in ("judge-a", "scribe-a", "office", "steward", "trainee-a", "trainee-b"):
            for what in ("placing", "file"):
                answer = web.get(f"/api/classes/c1/{what}?card=judge-b", seat)
                assert answer.status_code == 403
                assert "Z9Z9" not in answer.text
                assert "hidden" not in answer.text
                own = web.get(f"/api/classes/c1/{what}", seat)
                assert "Z9Z9" not in own.text
                assert "hidden" not in own.text


def test_a_class_that_is_not_there_is_not_found(tmp_path: Path) -> None:
    with house(tmp_path) as web:
        for path in ("/api/classes/c9/placing", "/api/classes/..%2fc1/file", "/api/classes//file"):
            assert web.get(path, "judge-a").status_code == 404
