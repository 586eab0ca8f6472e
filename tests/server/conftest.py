"""An application on a small site, and visitors to it."""

import asyncio
import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

import httpx
import pytest

from fieldapp.server.app import create_app
from fieldapp.settings import Settings
from fieldapp.store.engine import open_store
from fieldapp.store.sites import standing_version
from fieldapp.workflow.links import make_link
from fieldapp.workflow.sites import load_site, load_text_in
from tests.field_records import batch_of, mark_document

SMALL_SITE = Path(__file__).parent.parent / "workflow" / "small_site"


class Visitor:
    """Asks an application without a network, from an address of choice; keeps cookies."""

    def __init__(self, app, address="127.0.0.1", base="http://127.0.0.1:8000", **headers):
        self._app = app
        self._address = address
        self._base = base
        self._headers = {name.replace("_", "-"): value for name, value in headers.items()}
        self.cookies = httpx.Cookies()

    def ask(self, method, path, **what):
        return asyncio.run(self._ask(method, path, what))

    def get(self, path, **what):
        return self.ask("GET", path, **what)

    def post(self, path, **what):
        return self.ask("POST", path, **what)

    def enter(self, token, **what):
        """Come in by a link, as its page's button does."""
        return self.post(f"/enter/{token}", data={"next": "/"}, **what)

    async def _ask(self, method, path, what):
        transport = httpx.ASGITransport(self._app, client=(self._address, 40_000))
        async with httpx.AsyncClient(
            transport=transport, base_url=self._base, headers=self._headers, cookies=self.cookies
        ) as client:
            answer = await client.request(method, path, **what)
            self.cookies.update(client.cookies)
            return answer


@pytest.fixture
def settings(tmp_path):
    return Settings(data_dir=tmp_path / "data", trust_this_machine=True)


@pytest.fixture(scope="session")
def small_data(tmp_path_factory):
    """A data folder that holds the small site, to be copied."""
    folder = tmp_path_factory.mktemp("small") / "data"
    store = open_store(Settings(data_dir=folder))
    load_site(store, SMALL_SITE, datetime(2026, 5, 1, 8, 0, tzinfo=UTC))
    store.close()
    return folder


@pytest.fixture
def make_app(settings, small_data):
    """Makes an application on the small site, with other settings where wanted."""
    made = []

    def make(changed=None):
        folder = (changed or settings).data_dir
        if not folder.exists():
            shutil.copytree(small_data, folder)
        app = create_app(changed or settings)
        made.append(app)
        return app

    yield make
    for app in made:
        app.state.store.close()


@pytest.fixture
def app(make_app):
    return make_app()


@pytest.fixture
def manager(app):
    return Visitor(app)


@pytest.fixture
def mark():
    """Makes a mark of the small site's square bunker as a phone would send it."""
    return mark_document


@pytest.fixture
def send(manager):
    """Sends records to the small site as the manager."""

    def post(*records, visitor=manager):
        return visitor.post("/api/sites/small-links/records", json=batch_of(*records))

    return post


@pytest.fixture
def token_of(app):
    """Makes links to the application, a minute ago, and gives their tokens."""

    def make(role="mark", name="Robin", minutes=None, of=None, **more):
        made_at = datetime.now(UTC) - timedelta(minutes=1)
        ends_at = None if minutes is None else made_at + timedelta(minutes=minutes)
        return make_link((of or app).state.store, name, role, made_at, ends_at=ends_at, **more).token

    return make


@pytest.fixture
def let_in(app, token_of):
    """Makes phones elsewhere that came in by a link of their own."""

    def make(role="mark", of=None, **more):
        phone = Visitor(of or app, "192.168.1.20")
        answer = phone.enter(token_of(role, of=of, **more))
        assert answer.status_code == 303
        return phone

    return make


@pytest.fixture(scope="session")
def visitor_to():
    """Makes a visitor to an application."""
    return Visitor


SECOND_HOLE = """
[[hole]]
number = 2
name = "Second"
green = [1010.0, 2352.0]
green_level_m = 5.0

[[tee]]
id = "second"
hole = 2
name = "Second tee"
x = 1000.0
y = 2002.0
level_m = 4.0

[[tee]]"""


@pytest.fixture
def second_hole(app):
    """The small site has a second hole, beside the first, that has no bunker."""
    with app.state.store.writing() as transaction:
        text = standing_version(transaction, "small-links").document
        load_text_in(transaction, text.replace("[[tee]]", SECOND_HOLE, 1), datetime.now(UTC), "a folder")
