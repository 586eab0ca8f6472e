"""Who holds the phone: the name and the role of the link it has now, also after it changed hands."""

import pytest

pytestmark = pytest.mark.browser

MODULE = "../device/identity"
ALEX = {"name": "Alex", "role": "mark", "crew": False}
BO = {"name": "Bo", "role": "look", "crew": False}
EARLY = {"name": "Early team", "role": "mark", "crew": True}
LATE = {"name": "Late team", "role": "mark", "crew": True}

OPEN = """async (m, { kept, told, afterMs = 0, isOnline = true, unreadable = 0 }) => {
  const store = new Map(Object.entries(kept));
  const keep = {
    get: async (key) => { if (unreadable-- > 0) throw new Error('gone'); return store.get(key); },
    set: async (key, value) => { store.set(key, value); },
  };
  Object.defineProperty(navigator, 'onLine', { value: isOnline, configurable: true });
  globalThis.fetch = async () => {
    await new Promise((resolve) => { setTimeout(resolve, afterMs); });
    if (told === null) throw new TypeError('Failed to fetch');
    return { ok: true, json: async () => told };
  };
  const from = performance.now();
  const found = await m.loadIdentity(keep, '/api/me');
  const tookMs = performance.now() - from;
  await new Promise((resolve) => { setTimeout(resolve, Math.max(20, afterMs + 50 - tookMs)); });
  return { ...found, tookMs, store: Object.fromEntries(store) };
}"""


def opened(ask, kept, told, **more):
    return ask(MODULE, OPEN, {"kept": {"device": "d"} | kept, "told": told, **more})


def test_a_phone_that_changed_hands_is_the_new_persons_at_once(ask):
    found = opened(ask, {"person": "Alex", "link": ALEX}, BO)
    assert (found["person"], found["role"], found["device"]) == ("Bo", "look", "d")
    assert found["store"]["link"] == BO


def test_the_name_on_a_persons_link_is_taken_before_one_that_was_typed(ask):
    assert opened(ask, {"person": "Somebody", "link": ALEX}, ALEX)["person"] == "Alex"
    assert opened(ask, {"person": "Somebody", "link": ALEX}, None)["person"] == "Alex"


def test_with_a_crews_link_the_name_that_was_typed_stays(ask):
    found = opened(ask, {"person": "Kim", "link": EARLY}, EARLY)
    assert (found["person"], found["store"]["person"]) == ("Kim", "Kim")


@pytest.mark.parametrize("before", [ALEX, LATE], ids=["a person", "another crew"])
def test_a_crew_that_takes_a_phone_over_types_its_own_name(ask, before):
    found = opened(ask, {"person": "Alex", "link": before}, EARLY)
    assert (found["person"], found["store"]["person"]) == ("", "")


def test_an_answer_that_is_long_in_coming_counts_from_the_next_opening_on(ask):
    found = opened(ask, {"person": "Alex", "link": ALEX}, EARLY, afterMs=1800)
    assert found["person"] == "Alex"
    assert 1400 < found["tookMs"] < 1750
    assert opened(ask, found["store"], None)["person"] == ""


def test_without_a_network_nothing_is_waited_for(ask):
    found = opened(ask, {"person": "Kim", "link": EARLY}, EARLY, afterMs=1000, isOnline=False)
    assert (found["person"], found["role"]) == ("Kim", "mark")
    assert found["tookMs"] < 300


def test_a_server_that_is_not_reached_leaves_what_is_kept(ask):
    found = opened(ask, {"person": "Kim", "link": EARLY}, None)
    assert (found["person"], found["role"], found["store"]["link"]) == ("Kim", "mark", EARLY)


def test_a_phone_whose_storage_fails_once_goes_by_its_own_id(ask):
    found = opened(ask, {"person": "Kim", "link": EARLY}, EARLY, unreadable=1)
    assert (found["device"], found["person"], found["isKept"]) == ("d", "Kim", True)


def test_an_id_that_cannot_be_read_is_not_written_over(ask):
    found = opened(ask, {"person": "Kim"}, ALEX, unreadable=99)
    assert found["device"] != "d"
    assert (found["store"]["device"], found["isKept"], found["person"]) == ("d", False, "Alex")
