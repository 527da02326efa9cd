"""How numbers are written for people: rates with their interval, lengths, counts."""


def percent(share: float) -> str:
    """A share as a whole percentage."""
    return f"{100 * share:.0f} %"


def interval(low: float, high: float) -> str:
    """An interval of shares, in whole percent."""
    return f"{100 * low:.0f}-{100 * high:.0f} %"


def millimetres(length_mm: float | None) -> str:
    """A length with the decimals it has, at least two; a dash for none."""
    if length_mm is None:
        return "-"
    text = f"{length_mm:.3f}"
    return text.removesuffix("0")


def counted(number: int, one: str, many: str | None = None) -> str:
    """A number with its noun: 1 attempt, 3 attempts."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def several(words: tuple[str, ...] | list[str]) -> str:
    """Words joined as a sentence has them: a, b and c."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
