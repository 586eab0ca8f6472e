"""A drawing that was sent, from what it may be to the draft of a bunker; nothing is kept before it is taken."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from fieldapp.errors import InputError
from fieldapp.formats.drawing import Drawing
from fieldapp.model import Hole
from fieldapp.model.drawing_reading import DrawingReading
from fieldapp.workflow.drawing_guess import Guess
from fieldapp.workflow.drawing_placing import FAR_M, PlacedDrawing, guess_reading, place_drawing
from fieldapp.workflow.drawing_uses import Made, Uses, guessed_use, made_of
from fieldapp.workflow.sites import StandingSite

MOST_LAYERS = 60


@dataclass(frozen=True)
class LayerFound:
    """A layer of a drawing: how many lines, closed lines and spots it has, and what it is taken for at first."""

    name: str
    lines: int
    closed: int
    spots: int
    use: str


@dataclass(frozen=True)
class ImportPreview:
    """What an import comes to, with nothing kept: `made` is None where its reading cannot be; `faults` say why."""

    reading: DrawingReading
    guess: Guess
    layers: tuple[LayerFound, ...]
    placed: PlacedDrawing | None
    made: Made | None
    told: tuple[str, ...]
    faults: tuple[str, ...]


def layers_of(drawing: Drawing) -> tuple[LayerFound, ...]:
    """Return the layers of a drawing, those with most on them first."""
    lines = Counter(line.layer for line in drawing.lines)
    closed = Counter(line.layer for line in drawing.lines if line.closed)
    spots = Counter(spot.layer for spot in drawing.spots)
    with_lines = list(lines)
    names = sorted({*lines, *spots}, key=lambda name: (-lines[name], -spots[name], name))
    return tuple(
        LayerFound(name, lines[name], closed[name], spots[name], guessed_use(name, with_lines))
        for name in names[:MOST_LAYERS]
    )


def preview(
    standing: StandingSite,
    hole: Hole,
    drawing: Drawing,
    reading: DrawingReading | None,
    uses: Uses,
) -> ImportPreview:
    """Return what an import comes to; where no reading is given it is read as guessed."""
    guess = guess_reading(standing, hole, drawing)
    reading = reading or guess.reading
    layers = layers_of(drawing)
    try:
        placed = place_drawing(standing, hole, drawing, reading)
    except InputError as fault:
        return ImportPreview(reading, guess, layers, None, None, (), (str(fault),))
    if placed.away_m > FAR_M:
        far = (
            f"Read so, the drawing lies {placed.away_m / 1000:,.1f} km from hole {hole.number}: choose another unit, "
            "order or system, or fit it by pegs."
        )
        return ImportPreview(reading, guess, layers, None, None, placed.told, (far,))
    made = made_of(placed, uses, standing.site.keep_clear)
    told = (*placed.told, *made.told)
    return ImportPreview(reading, guess, layers, replace(placed, told=()), made, told, made.faults)
