"""A sheet that is understood as it stands, with no question: to be seen before one is named.

docs/csv.md shows the same one.
"""

EXAMPLE = (
    ("date", "time", "stone (mm)", "bur (mm)", "metal", "result", "note"),
    ("2026-02-03", "18:30", "1.98", "1.90", "copper", "good", ""),
    ("2026-02-03", "18:52", "2.02", "1.95", "copper", "high and loose", "dull bur"),
    ("2026-02-10", "18:40", "1.52", "1.45", "copper", "slightly tilted", ""),
)
"""Headings and three attempts, a row each."""


def example_lines() -> tuple[str, ...]:
    """The sheet as lines whose cells stand under their headings; under 80 cells wide."""
    widths = [max(map(len, column)) for column in zip(*EXAMPLE, strict=True)]
    return tuple(
        "  ".join(f"{cell:<{width}}" for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in EXAMPLE
    )
