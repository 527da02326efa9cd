"""Lines of tables and keys in a TOML text."""

from platebook.practice.courses.course_toml import line_at, lines_of

TEXT = '''# [not.a.table]
id = "a"
about = """
key = "inside a text"
[inside]
"""
plain = """one line""" # with "quotes"
[points.learning] # a remark
p0 = 0.2
[[grades]]
id = "one"
  stones_mm = [
    1.5,
  ]
[grades.points]
p0 = 0.3
[[grades]]
"id" = "two"
points = { p0 = 0.1 }
literal = \'\'\'
id = "x"
\'\'\'
points.p1 = 0.4
'''


def test_tables_and_keys_are_found() -> None:
    """Nested tables, lists of tables, quoted and dotted keys, with texts left out."""
    assert lines_of(TEXT) == {
        ("id",): 2,
        ("about",): 3,
        ("plain",): 7,
        ("points", "learning"): 8,
        ("points", "learning", "p0"): 9,
        ("grades",): 10,
        ("grades", 0): 10,
        ("grades", 0, "id"): 11,
        ("grades", 0, "stones_mm"): 12,
        ("grades", 0, "points"): 15,
        ("grades", 0, "points", "p0"): 16,
        ("grades", 1): 17,
        ("grades", 1, "id"): 18,
        ("grades", 1, "points"): 19,
        ("grades", 1, "literal"): 20,
        ("grades", 1, "points", "p1"): 23,
    }


def test_a_path_without_a_line_takes_the_nearest_above_it() -> None:
    """A missing key is reported at its table, a top-level one nowhere."""
    lines = lines_of(TEXT)
    assert line_at(lines, ("grades", 1, "points", "p0")) == 19
    assert line_at(lines, ("grades", 1, "metal")) == 17
    assert line_at(lines, ("version",)) is None
