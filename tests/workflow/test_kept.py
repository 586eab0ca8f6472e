"""What is worked out once and kept."""

import threading
import time

from fieldapp.workflow.kept import worked_out_once


def test_of_many_that_ask_at_once_one_works_and_all_have_its_answer():
    asked = []

    @worked_out_once(4)
    def slow(name):
        asked.append(name)
        time.sleep(0.05)
        return name.upper()

    answers = []
    threads = [threading.Thread(target=lambda: answers.append(slow("a"))) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (asked, answers) == (["a"], ["A"] * 8)


def test_only_the_last_answers_are_kept():
    asked = []

    @worked_out_once(2)
    def noted(number):
        asked.append(number)
        return number

    for number in (1, 2, 1, 3, 1, 2):
        noted(number)
    assert asked == [1, 2, 3, 2]
