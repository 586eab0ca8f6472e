"""Photos come in once each, as pictures only, and are shown to whoever may look."""

import hashlib
import io

import pytest
from PIL import Image
from sqlalchemy import func, select

from fieldapp.store.tables import PHOTO
from fieldapp.workflow.photos import LARGEST
from tests.field_records import record_id
from tests.photos import jpeg_photo, told_beside

PHOTO_ID = record_id(5901)
JPEG = {"content-type": "image/jpeg"}


def address(photo_id=PHOTO_ID, site="small-links"):
    return f"/api/sites/{site}/photos/{photo_id}"


def send(visitor, content=None, photo_id=PHOTO_ID, headers=JPEG, **more):
    body = jpeg_photo() if content is None else content
    return visitor.ask("PUT", address(photo_id, **more), content=body, headers=headers)


def held(app):
    with app.state.store.reading() as connection:
        return connection.execute(select(func.count()).select_from(PHOTO)).scalar()


def test_a_photo_is_stored_as_its_picture_only_and_shown(app, manager):
    answer = send(manager)
    assert (answer.status_code, answer.json()) == (200, {"stored": PHOTO_ID})
    shown = manager.get(address())
    assert (shown.status_code, shown.headers["content-type"]) == (200, "image/jpeg")
    assert "private" in shown.headers["cache-control"]
    assert told_beside(shown.content) == []
    assert Image.open(io.BytesIO(shown.content)).size == (240, 320)
    small = manager.get(address() + "?small=true")
    assert told_beside(small.content) == []
    with app.state.store.reading() as connection:
        (row,) = connection.execute(select(PHOTO)).all()
    assert row.sent_hash == hashlib.sha256(jpeg_photo()).hexdigest()
    assert (row.site_id, row.width, row.height) == ("small-links", 240, 320)


def test_a_photo_sent_twice_is_stored_once_and_another_under_its_id_is_refused(app, manager):
    assert [send(manager).status_code for _ in range(3)] == [200, 200, 200]
    assert held(app) == 1
    other = send(manager, jpeg_photo(number=1))
    assert other.status_code == 409
    assert "may be used once only" in other.json()["detail"]
    assert held(app) == 1


REFUSED = {
    "no picture": ({"content": b"the peg is behind the broom"}, 422, "no picture that can be read"),
    "another kind": ({"headers": {"content-type": "text/plain"}}, 415, "image/jpeg"),
    "no id": ({"photo_id": "short"}, 422, "an id of 8 to 64 letters"),
    "no site": ({"site": "nowhere"}, 404, "nowhere"),
    "40 MB": ({"content": bytes(40_000_000)}, 413, "larger than 8,000,000 bytes"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_taken_is_refused_in_words_and_nothing_is_stored(app, manager, name):
    given, status, words = REFUSED[name]
    answer = send(manager, **given)
    assert answer.status_code == status
    assert words in answer.json()["detail"]
    assert held(app) == 0


def test_a_body_without_a_length_is_left_unread_once_it_is_too_large(app, manager):
    pieces = 0

    async def endless():
        nonlocal pieces
        while True:
            pieces += 1
            yield bytes(1_000_000)

    assert send(manager, endless()).status_code == 413
    assert pieces <= LARGEST // 1_000_000 + 2


def test_a_photo_that_is_not_here_is_said_to_be_on_its_phone_perhaps(manager):
    answer = manager.get(address())
    assert answer.status_code == 404
    assert "may still be on its phone" in answer.json()["detail"]


def test_a_photo_is_shown_under_its_own_site_only(app, manager):
    send(manager)
    assert manager.get(address(site="elsewhere")).status_code == 404
