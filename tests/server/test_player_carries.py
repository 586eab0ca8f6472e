"""A list of players is read as people type and paste it; what can be read two ways is refused."""

import pytest

from fieldapp.errors import InputError
from fieldapp.model.units import METRES_PER
from fieldapp.server.player_carries import MOST_PLAYERS, Player, read_players

YARD = METRES_PER["yard"]

LISTS = {
    "240": [("", 240)],
    "Anna 240": [("Anna", 240)],
    "Anna: 240 yd": [("Anna", 240)],
    "Anna=240": [("Anna", 240)],
    "Anna 240\r\nKim 190\n\n": [("Anna", 240), ("Kim", 190)],
    "Anna 240; 225 ;": [("Anna", 240), ("", 225)],
    "240, 225, 210": [("", 240), ("", 225), ("", 210)],
    "240,225,210": [("", 240), ("", 225), ("", 210)],
    "95,90,85": [("", 95), ("", 90), ("", 85)],
    "200 210 220": [("", 200), ("", 210), ("", 220)],
    "200 yd 210 yds": [("", 200), ("", 210)],
    "Anna 240,5": [("Anna", 240.5)],
    "Anna 240,55": [("Anna", 240.55)],
    "Anna;220": [("Anna", 220)],
    "Anna, 220": [("Anna", 220)],
    "Anna,220": [("Anna", 220)],
    "Anna\t220\t\nBen\t230": [("Anna", 220), ("Ben", 230)],
    "\t220": [("", 220)],
    "Anna;220;Ben;230": [("Anna", 220), ("Ben", 230)],
    "Smith, John\t240,5": [("Smith, John", 240.5)],
    "Anna 240 yards; Ben 230y; Cat 220 YARD": [("Anna", 240), ("Ben", 230), ("Cat", 220)],
    "Player 2: 199.5": [("Player 2", 199.5)],
    "Player 2\t199.5": [("Player 2", 199.5)],
    "P2;199.5": [("P2", 199.5)],
    "Anne-Marie 180": [("Anne-Marie", 180)],
    "": [],
}


def read(text, unit="yard"):
    return read_players(text, unit).players


@pytest.mark.parametrize("text", LISTS)
def test_a_list_is_read_as_people_type_and_paste_it(text):
    assert read(text) == tuple(Player(name, pytest.approx(yards * YARD)) for name, yards in LISTS[text])
    assert read_players(text, "yard").remarks == ()


REFUSED = {
    "Ben -5": "'Ben -5' has a sign before its distance; write a name and a distance in yards",
    "Ben \N{MINUS SIGN}240": "has a sign before its distance",
    "Ben - 240": "has a sign before its distance",
    "Ben: -240": "has a sign before its distance",
    "Ben; -240": "has a sign before its distance",
    "-240": "has a sign before its distance",
    "Anna 1e9": "'Anna 1e9' gives no carry",
    "Anna 1,240": "'1,240' can be read in two ways for the carry of Anna",
    "Anna; 1,240": "can be read in two ways",
    "Anna\t240,225": "can be read in two ways",
    "1,240": "can be read in two ways",
    "Anna 240 260": "'Anna 240 260' has more than one figure; give every player one distance",
    "Anna 240 Ben 220": "has more than one figure",
    "Player 2 199.5": "as in 'Player 2: 240'",
    "Anna; 240 260": "Anna has 2 distances, '240 260'; give one of them",
    "240: 225": "'240' is no name",
    "Anna": "'Anna' gives no carry",
    "Anna; Ben 220": "'Anna' gives no carry",
    "Anna\n240": "'Anna' gives no carry",
    "Anna far\nBen 240": "'Anna far' gives no carry",
    "240 Anna": "'240 Anna' gives no carry",
    "Anna 240km": "'Anna 240km' gives no carry",
    "Anna 1.234,5": "'1.234,5' can be read in two ways",
}


@pytest.mark.parametrize("text", REFUSED)
def test_what_can_be_read_two_ways_or_not_at_all_is_refused_in_a_sentence(text):
    with pytest.raises(InputError) as refused:
        read(text)
    assert REFUSED[text] in str(refused.value)


@pytest.mark.parametrize("heading", ["Player\tCarry", "Name;Carry (yd)", "Spieler, Weite"])
def test_a_heading_is_left_out_and_that_is_said(heading):
    found = read_players(f"{heading}\nAnna\t240\nBen\t230", "yard")
    assert [player.name for player in found.players] == ["Anna", "Ben"]
    (remark,) = found.remarks
    assert remark.startswith("The first line, '")
    assert remark.endswith("' was taken for a heading and left out.".replace("' was", "', was"))


def test_a_carry_that_hardly_anybody_hits_so_short_is_asked_about():
    found = read_players("Anna 9.5\nBen 40\n12", "yard")
    assert len(found.players) == 3
    (remark,) = found.remarks
    assert remark.startswith("Carries under 40 yd, are they meant? Anna 9.5 yd, no name 12 yd.")
    assert (
        read_players("Anna 35", "metre")
        .remarks[0]
        .startswith("Carries under 36 m, are they meant? Anna 35 m.")
    )
    assert read_players("Anna 36", "metre").remarks == ()


def test_a_metre_site_reads_metres_and_another_unit_where_it_is_written():
    assert read("Anna 240; Ben 200 metres; Cat 200 Meter; Dan 100 yards", "metre") == (
        Player("Anna", 240.0), Player("Ben", 200.0), Player("Cat", 200.0), Player("Dan", 91.44),
    )  # fmt: skip
    with pytest.raises(InputError, match="from 1 to 366 m"):
        read("Anna 367", "metre")


def test_forty_names_of_twenty_letters_fit_in_any_alphabet():
    for letter in "aäあ":
        names = [letter * 17 + f"n{number}" for number in range(10, 10 + MOST_PLAYERS)]
        assert len(read("\r\n".join(f"{name}:240.5 yd" for name in names))) == MOST_PLAYERS


def test_a_list_without_end_is_refused():
    with pytest.raises(InputError, match="longer than 3000 letters"):
        read("1;" * 1600)
