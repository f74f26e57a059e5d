"""The comparison itself: what must count as a miss does."""

import math
import tempfile
import unittest
from pathlib import Path
from unittest import mock

import crosscheck
import table
from crosscheck import compare, distance
from table import Limit, ShapeTable, Table

FEET = Limit(0.5, "ft", "a test")
SECONDS = Limit(2, "s", "a test")


def height(**columns: str) -> Table:
    wanted = {"a": "ft", "=b": "ft", "=when": ""}
    row = {"a": "1", "=b": "10", "=when": "none"} | columns
    return Table("height", "height", "a test", wanted, {"b": FEET, "when": SECONDS}, [row])


class Answers:
    """A program that gives one fixed answer."""

    def __init__(self, answer: dict) -> None:
        self.answer = answer

    def sums(self, _name: str, cases: list) -> list[dict]:
        return [self.answer for _ in cases]


def held(answer: dict) -> list[bool]:
    return [each.holds for each in compare(Answers(answer), height())]


class Distance(unittest.TestCase):
    def test_numbers_shares_and_angles(self) -> None:
        self.assertAlmostEqual(distance(10.25, "10", "ft", FEET), 0.25)
        self.assertAlmostEqual(distance(10.1, "10", "ft", Limit(1, "rel", "")), 0.01)
        self.assertAlmostEqual(distance(359.9, "0.1", "deg", Limit(1, "deg", "")), 0.2)

    def test_instants(self) -> None:
        got, want = "2026-06-21T07:30:01.5Z", "2026-06-21T07:30:00.000Z"
        self.assertAlmostEqual(distance(got, want, "", SECONDS), 1.5)
        self.assertAlmostEqual(distance("2026-06-21T07:30:00Z", want, "", SECONDS), 0.0)

    def test_what_differs_in_kind_has_no_distance(self) -> None:
        instant = "2026-06-21T07:30:00Z"
        for got, want, limit in [
            (None, instant, SECONDS),
            (instant, "none", SECONDS),
            ("polar day", "polar night", None),
            ("10", "10", FEET),
        ]:
            self.assertIsNone(distance(got, want, "", limit), got)


class Compare(unittest.TestCase):
    def test_right_answers_hold(self) -> None:
        when = {"value": None, "unit": None}
        good = {"outputs": {"b": {"value": 10.4, "unit": "ft"}, "when": when}}
        self.assertEqual(held(good), [True, True])

    def test_wrong_missing_refused_and_nan_do_not(self) -> None:
        for answer in [
            {"value": 10.6, "unit": "ft"},
            {"value": 10.0, "unit": "m"},
            {"value": math.nan, "unit": "ft"},
            {"value": None, "unit": "ft"},
        ]:
            self.assertEqual(held({"outputs": {"b": answer}}), [False, False], answer)
        self.assertEqual(held({"error": {"message": "refused"}}), [False, False])

    def test_misses_make_the_exit_code(self) -> None:
        for value, code in [(10.0, 0), (11.0, 1)]:
            when = {"value": None, "unit": None}
            answer = {"outputs": {"b": {"value": value, "unit": "ft"}, "when": when}}
            with mock.patch("builtins.print"):
                found = crosscheck.report(compare(Answers(answer), height()), [], "")
            self.assertEqual(found, code)


class Committed(unittest.TestCase):
    def setUp(self) -> None:
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        patch = mock.patch.object(table, "FOLDER", Path(folder.name))
        patch.start()
        self.addCleanup(patch.stop)

    def test_a_table_goes_there_and_back(self) -> None:
        height().write()
        self.assertEqual(Table.committed(height().path), height())
        self.assertEqual(crosscheck.stale(height()), [])

    def test_stale_values_and_cases_are_told(self) -> None:
        height().write()
        self.assertIn("b was 10, is 11", crosscheck.stale(height(**{"=b": "11"}))[0])
        rises = height(**{"=when": "2026-06-21T07:30:00Z"})
        self.assertIn("when was none", crosscheck.stale(rises)[0])
        self.assertIn("other cases", crosscheck.stale(height(a="2"))[0])

    def test_a_lost_row_is_noticed(self) -> None:
        height().write()
        path = height().path
        path.write_text("\n".join(path.read_text().splitlines()[:-1]) + "\n")
        with self.assertRaises(ValueError):
            Table.committed(path)

    def test_shapes_go_there_and_back_and_only_some_are_kept(self) -> None:
        columns = {"corners": "m", "by": "m", "=area": "m2", "=holes": ""}
        cells = ["0.0 0.0; 1.0 0.0; 0.0 1.0", "0.5", "2.5", "none"]
        rows = [dict(zip(columns, cells, strict=True)) for _ in range(3)]
        limits = {"area": Limit(1e-9, "rel", "a test")}
        whole = ShapeTable("offset", "offset", "a test", columns, limits, rows, kept=2)
        first = {"east": "0.0 m", "north": "0.0 m"}
        self.assertEqual(whole.inputs(rows[0])["corners"][0], first)
        whole.write()
        kept = ShapeTable.committed(whole.path)
        self.assertEqual((kept.rows, kept.columns), (rows[:2], columns))
        self.assertEqual(crosscheck.stale(whole), [])
        rows[1]["by"] = "0.6"
        self.assertIn("other cases", crosscheck.stale(whole)[0])
        rows[1]["by"], rows[1]["=area"] = "0.5", "2.6"
        self.assertIn("area was 2.5, is 2.6", crosscheck.stale(whole)[0])


class Calendars(unittest.TestCase):
    """A calendar with a fault is noticed. Needs the library; without it nothing is judged."""

    SOUND = "\r\n".join(
        [
            "BEGIN:VCALENDAR",
            "VERSION:2.0",
            "PRODID:-//a test//EN",
            "BEGIN:VEVENT",
            "UID:1",
            "DTSTAMP:20261203T081000Z",
            "DTSTART;VALUE=DATE:20270131",
            "SUMMARY:extinguisher",
            "BEGIN:VALARM",
            "ACTION:DISPLAY",
            "DESCRIPTION:it runs out",
            "TRIGGER:-P14D",
            "END:VALARM",
            "END:VEVENT",
            "END:VCALENDAR",
            "",
        ]
    )

    def setUp(self) -> None:
        try:
            import icalendar  # noqa: F401
        except ImportError:
            self.skipTest("icalendar is not installed")

    def judged(self, text: str) -> list[str]:
        import due_calendar

        return due_calendar.judge(text, {"due": [{"until": "2027-01-31"}, {"until": None}]})

    def test_a_sound_calendar_has_no_fault(self) -> None:
        self.assertEqual(self.judged(self.SOUND), [])

    def test_what_is_missing_or_moved_is_a_fault(self) -> None:
        for line in ["VERSION:2.0", "UID:1", "SUMMARY:extinguisher", "TRIGGER:-P14D"]:
            with self.subTest(line):
                self.assertNotEqual(self.judged(self.SOUND.replace(line + "\r\n", "")), [])
        for old, new in [("20270131", "20270130"), ("-P14D", "P14D")]:
            with self.subTest(new):
                self.assertNotEqual(self.judged(self.SOUND.replace(old, new)), [])


if __name__ == "__main__":
    unittest.main()
