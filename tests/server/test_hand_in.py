"""The desk's page for files that phones handed over."""

import json
import re

from tests.field_records import batch_of, mark_document

PAGE = "/sites/small-links/hand-in"


def file_of(*records):
    return json.dumps(batch_of(*records)).encode()


def hand_in(visitor, *contents, **how):
    files = [
        ("file", (f"phone-{turn}.json", content, "application/json")) for turn, content in enumerate(contents)
    ]
    return visitor.post(PAGE, files=files, **how)


def words_of(page):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.text))


def test_the_site_page_leads_to_the_form_and_the_form_back(manager):
    assert f'href="{PAGE}"' in manager.get("/sites/small-links").text
    form = manager.get(PAGE)
    assert (form.status_code, 'enctype="multipart/form-data"' in form.text) == (200, True)
    assert 'href="/sites/small-links"' in form.text


def test_files_handed_in_are_held_and_each_is_answered(manager):
    page = hand_in(manager, file_of(mark_document(1), mark_document(2)), file_of(mark_document(2)))
    assert page.status_code == 200
    assert "phone-0.json: 2 new, 0 held already, 0 refused" in words_of(page)
    assert "phone-1.json: 0 new, 1 held already, 0 refused" in words_of(page)
    assert manager.get("/sites/small-links/records.csv").text.count("\n") == 3


def test_what_is_refused_is_shown_as_text(manager):
    page = hand_in(manager, file_of(mark_document(1, hole="<b>four</b>"), mark_document(2)))
    assert "1 new, 0 held already, 1 refused" in words_of(page)
    assert "Keep the file" in words_of(page)
    assert "<b>four" not in page.text


def test_of_many_refusals_and_remarks_the_first_are_shown_and_the_rest_counted(manager):
    odd = [mark_document(number, hole=9) for number in range(1, 53)]
    page = hand_in(manager, file_of(*odd, *[0] * 151))
    assert (page.text.count("must be a JSON object"), page.text.count("no hole 9")) == (50, 50)
    assert "and 101 more refused" in words_of(page)
    assert "and 2 more with a remark" in words_of(page)
    page = hand_in(manager, file_of(*[0] * 50))
    assert "more refused" not in words_of(page)


def test_a_form_without_a_file_is_answered_with_what_to_do(manager):
    page = manager.post(PAGE, files=[("other", ("a", b"", "text/plain"))])
    assert "No file was chosen" in words_of(page)


def test_a_body_that_is_no_form_is_answered_alike(manager):
    assert "No file was chosen" in words_of(manager.post(PAGE, content=b"{}"))


def test_a_broken_form_is_a_clear_refusal(manager):
    answer = manager.post(
        PAGE, content=b"nonsense", headers={"content-type": "multipart/form-data; boundary=x"}
    )
    assert answer.status_code in (200, 400)
    assert "Traceback" not in answer.text


def test_more_than_ten_megabytes_are_refused_whether_announced_or_not(manager):
    much = b"x" * 10_000_001
    announced = hand_in(manager, much)
    assert (announced.status_code, "10 MB" in announced.text) == (413, True)

    async def pieces():
        yield b'--x\r\ncontent-disposition: form-data; name="file"; filename="a"\r\n\r\n'
        for _ in range(110):
            yield b"y" * 100_000

    form = {"content-type": "multipart/form-data; boundary=x"}
    assert manager.post(PAGE, content=pieces(), headers=form).status_code == 413


def test_a_page_of_another_site_cannot_hand_files_in(manager):
    page = hand_in(manager, file_of(mark_document(1)), headers={"origin": "https://elsewhere.example"})
    assert page.status_code == 403
    assert "0 marks stand" in words_of(manager.get("/sites/small-links"))


def test_there_is_no_page_for_a_site_never_loaded(manager):
    assert manager.get("/sites/heath/hand-in").status_code == 404
