"""The grid on a turned plan: ticks and crosses where its lines run, coordinates that read true."""

import re
from itertools import pairwise

import numpy as np
import pytest

from fieldapp.server.coordinate_frame import clear_crosses, coordinate_frame
from fieldapp.server.labels import LabelRoom, half_size
from fieldapp.server.plan_sheet import Sheet

FOOT = 0.3048


def numbers(path):
    return np.array([float(number) for number in re.findall(r"-?\d+\.\d+", path)]).reshape(-1, 2)


@pytest.mark.parametrize("up", [0.0, 12.0, 101.0, 243.5])
@pytest.mark.parametrize("unit_m", [1.0, FOOT])
def test_a_label_stands_at_the_coordinate_that_it_names(up, unit_m):
    sheet = Sheet((2203.4, 5260.7), up, 45.0, 700.0, 600.0)
    frame = coordinate_frame(sheet, unit_m)
    assert len(frame.labels) >= 6
    for label in frame.labels:
        axis, value = label.words.split()
        at = np.clip(label.at, (0.0, 0.0), (sheet.width, sheet.height))
        found = sheet.course(at)["xy".index(axis)] / unit_m
        assert found == pytest.approx(int(value), abs=0.02)
        assert int(value) % frame.step == 0


@pytest.mark.parametrize("up", [0.0, 33.0])
def test_labels_of_an_edge_stand_clear_of_each_other_and_of_the_corners(up):
    sheet = Sheet((657_160.0, 6_766_500.0), up, 12.0, 700.0, 600.0)
    labels = coordinate_frame(sheet, 1.0).labels
    for turn, axis, length in ((0, 0, sheet.width), (-90, 1, sheet.height)):
        for beyond in (False, True):
            ends = (sheet.height, sheet.width)[axis]
            spans = sorted(
                (one.at[axis] - half_size(one.words)[0], one.at[axis] + half_size(one.words)[0])
                for one in labels
                if one.turn_deg == turn and (one.at[1 - axis] > ends) is beyond
            )
            assert all(low >= 0 and high <= length for low, high in spans)
            assert all(one[1] <= other[0] for one, other in pairwise(spans))


def test_crosses_stand_on_whole_coordinates_and_on_nothing_else():
    sheet = Sheet((100.0, 200.0), 20.0, 40.0, 700.0, 600.0)
    frame = coordinate_frame(sheet, 1.0)
    course = sheet.course(frame.places) / frame.step
    assert np.abs(course - course.round()).max() < 1e-9
    kept = clear_crosses(sheet, frame, LabelRoom(700, 600, [frame.places[0]]))
    middles = numbers(kept).reshape(-1, 2, 2).mean(axis=1)
    assert len(middles) == 2 * (len(frame.places) - 1)
    assert np.hypot(*(middles - frame.places[0]).T).min() > 20


def test_a_line_is_clipped_to_the_sheet():
    sheet = Sheet((0.0, 0.0), 0.0, 1.0, 100.0, 50.0)
    assert sheet.clip(np.array([[-50.0, 25.0], [150.0, 25.0]])).tolist() == [[0.0, 25.0], [100.0, 25.0]]
    assert sheet.clip(np.array([[-10.0, 0.0], [0.0, -10.0]])) is None
    assert sheet.clip(np.array([[120.0, 0.0], [120.0, 50.0]])) is None
    inside = np.array([[10.0, 10.0], [20.0, 30.0]])
    assert np.allclose(sheet.clip(inside), inside)
    assert np.allclose(sheet.place(sheet.course(inside)), inside)
