"""The cells of peg reports, taped distances, captures and mornings in the record for other programs."""

from __future__ import annotations

from fieldapp.formats.csv_lines import Cell
from fieldapp.model import Capture, PegReport, Taped, TapedLine, TapeRecord

TAPE_COLUMNS = (
    "peg_state", "peg_kind", "peg_within_m", "placed_by", "note", "photos", "ties", "taped", "tape_error_m",
    "suspects", "suspect_line", "capture_method", "capture_points", "morning_states", "reset", "words",
)  # fmt: skip
TAPE_DECIMALS = dict.fromkeys(("peg_within_m", "tape_error_m"), 4)


def tape_cells(record: TapeRecord) -> dict[str, Cell]:
    """Return the cells of a record of pegs and tapes that no other kind has, and those it shares by name."""
    if isinstance(record, PegReport):
        return _report_cells(record)
    if isinstance(record, Taped):
        return _taped_cells(record)
    if isinstance(record, Capture):
        return _capture_cells(record)
    return {
        "bunker": record.bunker,
        "revision": record.revision,
        "receiver": record.receiver,
        "check_in": record.check_in,
        "taped": record.taped,
        "verdict": record.verdict,
        "morning_states": " ".join(f"{peg}:{state}" for peg, state in record.states),
        "reset": " ".join(record.reset),
        "words": record.words,
    }


def _report_cells(report: PegReport) -> dict[str, Cell]:
    """Ties are written as peg:distance with spaces between, such as m1:12.345 m2:9.870."""
    return {
        "bunker": report.bunker,
        "receiver": report.receiver,
        "peg": report.peg,
        "peg_x_m": report.x,
        "peg_y_m": report.y,
        "peg_state": report.state,
        "peg_kind": report.peg_kind,
        "peg_within_m": report.within_m,
        "placed_by": report.placed_by,
        "note": report.note,
        "photos": " ".join(report.photos),
        "ties": " ".join(f"{tie.peg}:{tie.distance_m:.3f}" for tie in report.ties),
    }


def _taped_cells(taped: Taped) -> dict[str, Cell]:
    """Distances are written as peg-peg:distance with spaces between, as they were read on the tape."""
    return {
        "bunker": taped.bunker,
        "receiver": taped.receiver,
        "verdict": taped.verdict,
        "taped": " ".join(map(_line, taped.lines)),
        "tape_error_m": taped.tape_error_m,
        "suspects": " ".join(taped.suspects),
        "suspect_line": "-".join(taped.suspect_line or ()),
        "words": taped.words,
    }


def _line(line: TapedLine) -> str:
    return f"{line.one}-{line.other}:{line.distance_m:.3f}"


def _capture_cells(capture: Capture) -> dict[str, Cell]:
    return {
        "bunker": capture.bunker,
        "outline": capture.outline,
        "part": capture.part,
        "revision": capture.revision,
        "receiver": capture.receiver,
        "capture_method": capture.method,
        "capture_points": len(capture.fixes or capture.points),
        "tape_error_m": capture.tape_error_m,
        "check_in": capture.check_in,
        "shift_x_m": capture.shift_x_m,
        "shift_y_m": capture.shift_y_m,
        "note": capture.note,
    }
