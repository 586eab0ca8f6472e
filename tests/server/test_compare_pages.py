"""An old bunker beside a new one: figures, shift, the visitor's own players, and the cookie that keeps their list."""

import html
import re
from datetime import UTC, datetime
from pathlib import Path
from urllib.parse import quote

import pytest

from fieldapp.model.units import METRES_PER
from fieldapp.play.hole_yardages import hole_yardages
from fieldapp.play.old_and_new import shift_between
from fieldapp.server.player_carries import MOST_PLAYERS
from fieldapp.workflow.sites import load_site, standing_site

SAMPLES = Path(__file__).parents[2] / "sample_sites"
COMPARE = "/sites/skerry-bank/holes/4/compare"
YARD = METRES_PER["yard"]


@pytest.fixture
def samples(app):
    """The application, with two sample sites in its store."""
    for name in ("skerry-bank", "vindeloga"):
        load_site(app.state.store, SAMPLES / name, datetime(2026, 5, 1, 8, 0, tzinfo=UTC))
    return app.state.store


def text_of(page):
    return html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.text))).replace("\u00a0", " ")


def players_of(page):
    """The cells of each row of the players' table."""
    table = page.text.split('class="yardages who"')[1].split("</table>")[0].split("<tbody>")[1]
    rows = re.findall(r"<tr>(.*?)</tr>", table, re.DOTALL)
    return [
        [re.sub(r"<[^>]+>", "", cell) for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL)]
        for row in rows
    ]


def asked(manager, carries, query=""):
    return manager.get(f"{COMPARE}?old=4-old&new=4-right&carries={quote(carries)}{query}")


def test_the_shift_is_that_of_the_core(manager, samples):
    standing = standing_site(samples, "skerry-bank")
    old, new = (
        next(one for one in standing.bunkers if one.bunker.id == name) for name in ("4-old", "4-right")
    )
    shift = shift_between(standing.site, old, new, standing.site.tee("4-back"), standing.ground_scale(4))
    words = f"{shift.along_m / YARD:.1f} yd further on and {shift.across_m / YARD:.1f} yd to the right"
    assert words in text_of(manager.get(COMPARE))


def test_a_bunker_moved_back_lies_nearer_the_tee_and_left(manager, samples):
    told = text_of(manager.get(f"{COMPARE}?old=4-right&new=4-old"))
    assert re.search(r"The middle of 4 old lies 73\.0 yd nearer the tee and 1\.\d yd to the left", told)


def test_both_rows_and_the_change_stand_for_every_tee(manager, samples):
    standing = standing_site(samples, "skerry-bank")
    table = hole_yardages(standing.site, standing.bunkers, 4, standing.ground_scale(4))
    told = text_of(manager.get(COMPARE))
    for tee in standing.site.tees_of(4):
        old, new = (
            next(row for row in table if (row.tee.id, row.bunker.bunker.id) == (tee.id, name))
            for name in ("4-old", "4-right")
        )
        figures = [
            f"{value / YARD:.1f}"
            for row in (old, new)
            for value in (row.to_middle.reach_m, row.to_middle.carry_m)
        ]
        change = f"+{(new.to_middle.carry_m - old.to_middle.carry_m) / YARD:.1f}"
        part = told.split(f"From {tee.name} Straight at its middle")[1].split("By the line of play")[0]
        assert all(figure in part for figure in [*figures, change])


def test_each_player_is_short_asked_or_over_from_each_tee(manager, samples):
    standing = standing_site(samples, "skerry-bank")
    table = hole_yardages(standing.site, standing.bunkers, 4, standing.ground_scale(4))
    old, new = (
        next(row.to_middle for row in table if (row.tee.id, row.bunker.bunker.id) == ("4-back", name))
        for name in ("4-old", "4-right")
    )
    just_short, just_over = f"{new.reach_m / YARD - 0.1:.2f}", f"{new.carry_m / YARD + 0.1:.2f}"
    between = f"{(old.reach_m + old.carry_m) / 2 / YARD:.2f}"
    page = asked(manager, f"Anna {just_short}\nKim {between}\nRobin {just_over}")
    first = [row[2] for row in players_of(page)]
    assert first == ["over → short", "asked → short", "over"]


def test_the_allowance_is_asked_of_every_player_who_flies_it(manager, samples):
    assert players_of(asked(manager, "Anna 270"))[0][2] == "over"
    assert players_of(asked(manager, "Anna 270", "&allowance=10"))[0][2] == "over → asked"


def test_who_has_to_think_about_it_now_is_told_in_a_sentence(manager, samples):
    told = text_of(asked(manager, "Anna 262; Kim 190; 400"))
    assert "From Back tee now asked: Anna; no longer asked: Kim." in told
    assert "From Forward tee neither bunker asks anybody on the list." in told


def test_changes_stand_out_by_a_box_and_words(manager, samples):
    page = asked(manager, "Anna 262; Tim 399")
    assert page.text.count('class="changed"') == 1
    assert "<b>asked</b>" in page.text


def test_a_player_without_a_name_is_told_by_the_carry_and_all_carries_with_one_decimal(manager, samples):
    page = asked(manager, "262.47\n190\nAnna 240")
    told = text_of(page)
    assert "From Back tee now asked: the 262.5 yd player; no longer asked: the 190.0 yd player." in told
    assert [row[1] for row in players_of(page)] == ["262.5", "190.0", "240.0"]


def test_what_was_made_of_the_list_is_said_and_the_list_is_kept_as_it_was_typed(manager, samples):
    page = asked(manager, "Player\tCarry\nPlayer 2\t9\nAnna\t240")
    told = text_of(page)
    assert "The first line, 'Player Carry', was taken for a heading and left out." in told
    assert "Carries under 40 yd, are they meant? Player 2 9 yd." in told
    assert [row[0] for row in players_of(manager.get(COMPARE))] == ["Player 2", "Anna"]


def test_the_longest_list_fits_the_cookie_of_a_browser(manager, samples):
    names = [f"{'ん' * 18}{number}" for number in range(10, 50)]
    cookie = asked(manager, "\r\n".join(f"{name}:240" for name in names)).headers["set-cookie"]
    assert len(cookie.split(";")[0]) < 4096
    assert len(players_of(manager.get(COMPARE))) == 40


def test_without_a_list_the_page_asks_for_one_and_claims_nothing(manager, samples):
    page = manager.get(COMPARE)
    assert page.status_code == 200
    assert "Type the players you want to try the two bunkers with" in text_of(page)
    assert 'class="yardages who"' not in page.text
    assert "set-cookie" not in page.headers


def test_the_list_typed_last_is_there_at_the_next_visit(manager, samples):
    cookie = asked(manager, "Änne 240\nKim 190").headers["set-cookie"]
    for word in ("HttpOnly", "SameSite=lax", "Max-Age=31536000", "Path=/"):
        assert word in cookie
    again = manager.get(COMPARE)
    assert [row[0] for row in players_of(again)] == ["Änne", "Kim"]
    assert "Änne 240\nKim 190" in html.unescape(again.text)


def test_an_emptied_list_is_forgotten(manager, samples):
    cookie = asked(manager, "").headers["set-cookie"]
    assert cookie.startswith('fieldapp_carries_yard=""')
    assert "Max-Age=0" in cookie
    assert "Path=/" in cookie


def test_a_list_in_yards_is_never_read_as_metres(manager, samples):
    asked(manager, "Anna 240")
    assert 'class="yardages who"' not in manager.get("/sites/vindeloga/holes/7/compare").text


def test_a_list_that_cannot_be_read_is_not_kept(manager, samples):
    page = asked(manager, "Anna 240; Kim far")
    assert page.status_code == 422
    assert "set-cookie" not in page.headers
    assert "Anna 240; Kim far</textarea>" in page.text


@pytest.mark.parametrize("cookie", ["%", "not base64!", "w6k", "_w==", "PHNjcmlwdD4gMjAw"])
def test_a_cookie_that_somebody_made_up_does_no_harm(manager, samples, cookie):
    page = manager.get(COMPARE, headers={"cookie": f"fieldapp_carries_yard={cookie}"})
    assert page.status_code in (200, 422)
    assert "<script>" not in page.text


BAD = {
    "old=4-old&new=4-old": "Both are 4 old; choose two different bunkers.",
    "old=moon": "There is no bunker of hole 4 called 'moon'; there are: 4-old, 4-right.",
    "carries=Anna": "'Anna' gives no carry; write a name and a distance in yards, for instance 'Anna 240'.",
    "carries=Anna+401": "'401' cannot be the carry of Anna; give from 1 to 400 yd.",
    "carries=Anna+0": "'0' cannot be the carry of Anna",
    "carries=" + "1;" * 41: f"There are 41 players on the list; give at most {MOST_PLAYERS}.",
    "carries=" + "x" * 21 + "+200": "is longer than 20 characters",
    "carries=" + "1;" * 1600: "longer than 3000 letters",
    "allowance=much": "'much' is no length for the landing allowance",
}


@pytest.mark.parametrize("query", BAD)
def test_what_cannot_be_read_is_told_in_a_sentence(manager, samples, query):
    page = manager.get(f"{COMPARE}?{query}", headers={"accept": "text/html"})
    assert page.status_code == 422
    assert BAD[query] in text_of(page)


def test_a_hole_with_one_bunker_says_what_to_do(manager, samples):
    page = manager.get("/sites/vindeloga/holes/9/compare")
    assert page.status_code == 200
    assert "Hole 9 has one bunker; add the other to the site file" in text_of(page)
