"""`fieldapp take-in`: files of phones into a data folder."""

import csv
import io
import json

from tests.field_records import batch_of, mark_document


def written(folder, name, *records):
    file = folder / name
    file.write_text(json.dumps(batch_of(*records)), encoding="utf-8")
    return file


def held(fieldapp, data):
    return list(csv.DictReader(io.StringIO(fieldapp("records", "--data", data).out)))


def test_files_are_taken_in_and_each_is_told(fieldapp, data, tmp_path):
    one = written(tmp_path, "one.json", mark_document(1), mark_document(2))
    two = written(tmp_path, "two.json", mark_document(2), mark_document(3))
    done = fieldapp("take-in", one, two, "--data", data)
    assert (done.code, done.err) == (0, "")
    told = [line for line in done.out.splitlines() if not line.startswith("  ")]
    assert told == [
        f"{one}: 2 new, 0 held already, 0 refused; of site 'small-links'.",
        f"{two}: 1 new, 1 held already, 0 refused; of site 'small-links'.",
    ]
    assert len(held(fieldapp, data)) == 3


def test_a_bad_file_is_told_and_keeps_no_good_one_out(fieldapp, data, tmp_path):
    good = written(tmp_path, "good.json", mark_document(1), mark_document(2, hole="one"))
    (tmp_path / "bad.json").write_text('{"format": "fieldapp-rec')
    done = fieldapp("take-in", tmp_path / "bad.json", tmp_path / "gone.json", good, "--data", data)
    assert done.code == 2
    assert "Its end is missing" in done.out
    assert "no such file" in done.out
    assert "Record 2 cannot be taken: 'hole' must be a whole number" in done.out
    assert done.err.count("\n") == 1
    assert [row["number"] for row in held(fieldapp, data)] == ["1"]


def test_without_data_or_files_it_says_what_is_missing(fieldapp, data, tmp_path):
    assert fieldapp("take-in", "--data", data).code == 2
    done = fieldapp("take-in", written(tmp_path, "a.json"), "--data", tmp_path / "nowhere")
    assert (done.code, "There is no fieldapp data" in done.err) == (2, True)
