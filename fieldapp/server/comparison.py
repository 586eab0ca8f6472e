"""An old bunker beside a new one in words: both from every tee, the shift, and whom each asks for a carry."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fieldapp.play.hole_yardages import BunkerFromTee, carry_with
from fieldapp.play.old_and_new import Asked, Shift, asked_of, shift_between
from fieldapp.server.bunker_blocks import lies_row, lies_words
from fieldapp.server.compare_contexts import (
    Comparison,
    PlayCompared,
    PlayerCell,
    PlayerRow,
    StraightCompared,
    TeeCompared,
)
from fieldapp.server.compare_drawing import draw_compared
from fieldapp.server.hole_drawing import HoleOnGround
from fieldapp.server.player_carries import Player
from fieldapp.server.yardage_words import BEHIND, DASH, MINUS, YardageWords, listed

CHANGE = "change"


@dataclass(frozen=True)
class OldAndNew:
    """Two bunkers of a hole from each of its tees, in the same order of tees."""

    ground: HoleOnGround
    old: tuple[BunkerFromTee, ...]
    new: tuple[BunkerFromTee, ...]
    allowance_m: float

    @property
    def pairs(self) -> list[tuple[BunkerFromTee, BunkerFromTee]]:
        """Old and new from each tee."""
        return list(zip(self.old, self.new, strict=True))


def comparison(both: OldAndNew, players: Sequence[Player], words: YardageWords) -> Comparison:
    """Compare two bunkers, and what they ask of the players on the straight shot at their middle."""
    old, new = both.old[0].bunker, both.new[0].bunker
    shift = shift_between(both.ground.site, old, new, both.old[0].tee, both.ground.ground_scale)
    return Comparison(
        old=old.bunker.name,
        new=new.bunker.name,
        shift=_shift_words(shift, new.bunker.name, both.old[0].tee.name, words),
        drawing=draw_compared(both.ground, old, new),
        tees=tuple(_tee(one, other, both.allowance_m, words) for one, other in both.pairs),
        lies_words=tuple(
            f"{row.bunker.bunker.name}: {said[0].lower()}{said[1:]}"
            for row, said in ((both.old[0], lies_words(both.old)), (both.new[0], lies_words(both.new)))
            if said
        ),
        players=tuple(_player(both, player, words) for player in players),
        told=tuple(_told(both, players, words)) if players else (),
    )


def _shift_words(shift: Shift, new: str, tee: str, words: YardageWords) -> str:
    further = "further on" if shift.along_m >= 0 else "nearer the tee"
    side = "right" if shift.across_m >= 0 else "left"
    along, across = words.with_unit(abs(shift.along_m)), words.with_unit(abs(shift.across_m))
    return f"The middle of {new} lies {along} {further} and {across} to the {side}, by the line of play from {tee}."


def _tee(old: BunkerFromTee, new: BunkerFromTee, allowance_m: float, words: YardageWords) -> TeeCompared:
    names = old.bunker.bunker.name, new.bunker.bunker.name
    rows = tuple(zip(names, (old, new), strict=True))
    return TeeCompared(
        tee=old.tee.name,
        straight=(
            *(_straight(name, row, allowance_m, words) for name, row in rows),
            _straight_change(old, new, words),
        ),
        play=(*(_play(name, row, words) for name, row in rows), _play_change(old, new, words)),
    )


def _straight(name: str, row: BunkerFromTee, allowance_m: float, words: YardageWords) -> StraightCompared:
    return StraightCompared(
        which=name,
        middle=words.figure(row.straight_m),
        reach=words.figure(_reach(row)),
        carry=words.figure(_carry(row, allowance_m)),
        width=words.figure(_width(row)),
        behind=BEHIND if row.is_behind else "",
    )


def _straight_change(old: BunkerFromTee, new: BunkerFromTee, words: YardageWords) -> StraightCompared:
    return StraightCompared(
        which=CHANGE,
        middle=words.change(new.straight_m - old.straight_m),
        reach=words.change(_difference(_reach(old), _reach(new))),
        carry=words.change(_difference(_carry(old), _carry(new))),
        width=words.change(_difference(_width(old), _width(new))),
        behind="",
    )


def _play(name: str, row: BunkerFromTee, words: YardageWords) -> PlayCompared:
    lies = lies_row(row, words)
    return PlayCompared(name, words.figure(row.along_m), words.side(row.offset_m), lies.room, lies.slant)


def _play_change(old: BunkerFromTee, new: BunkerFromTee, words: YardageWords) -> PlayCompared:
    turned = round(new.slant_deg) - round(old.slant_deg)
    return PlayCompared(
        which=CHANGE,
        along=words.change(new.along_m - old.along_m),
        off=words.side(new.offset_m - old.offset_m),
        room=words.change(_difference(old.room_m, new.room_m)),
        slant=f"{'+' if turned > 0 else MINUS if turned < 0 else ''}{abs(turned)}°",
    )


def _width(row: BunkerFromTee) -> float | None:
    return row.to_middle.width_m if row.to_middle else None


def _reach(row: BunkerFromTee) -> float | None:
    return row.to_middle.reach_m if row.to_middle and not row.is_behind else None


def _carry(row: BunkerFromTee, allowance_m: float = 0.0) -> float | None:
    return None if row.is_behind else carry_with(row.to_middle, allowance_m)


def _difference(old_m: float | None, new_m: float | None) -> float | None:
    return None if old_m is None or new_m is None else new_m - old_m


def _asks(row: BunkerFromTee, player: Player, allowance_m: float) -> Asked | None:
    return asked_of(player.carry_m, row, allowance_m)


def _player(both: OldAndNew, player: Player, words: YardageWords) -> PlayerRow:
    cells = []
    for old, new in both.pairs:
        before, now = (_asks(row, player, both.allowance_m) for row in (old, new))
        cells.append(PlayerCell(before or DASH, now or DASH, before != now))
    return PlayerRow(player.name or DASH, words.figure(player.carry_m), tuple(cells))


def _called(player: Player, words: YardageWords) -> str:
    return player.name or f"the {words.with_unit(player.carry_m)} player"


def _told(both: OldAndNew, players: Sequence[Player], words: YardageWords) -> list[str]:
    """Say for each tee who has to think about it now, and who no longer has to."""
    found = []
    for old, new in both.pairs:
        asked = [
            (
                _called(player, words),
                _asks(old, player, both.allowance_m),
                _asks(new, player, both.allowance_m),
            )
            for player in players
        ]
        newly = [name for name, before, now in asked if now == "asked" and before != "asked"]
        still = [name for name, before, now in asked if now == "asked" and before == "asked"]
        no_more = [name for name, before, now in asked if now != "asked" and before == "asked"]
        said = [
            f"{what}: {listed(names)}"
            for what, names in (("now asked", newly), ("still asked", still), ("no longer asked", no_more))
            if names
        ]
        found.append(f"From {old.tee.name} {'; '.join(said) or 'neither bunker asks anybody on the list'}.")
    return found
