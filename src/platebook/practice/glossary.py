"""The one glossary: words of the trade, of the log and of the methods, each in a plain sentence.

Screens, `platebook glossary` and docs/terms.md read it here. Most words are rows of
`data/glossary.csv`: the word, its kind, the field (and the value of it) that it is, where it is met
beyond that, its meaning; a value's row leaves the word out where it is the value itself with a
remark behind it, such as "flush (an answer)". Defects bring their own half sentence from
`defects.toml`, readings and looks without a row what `fields.csv` says of how they are read, and
each step of the work what to do from the list of steps.

How readings and answers are understood is common practice.
"""

import difflib
import functools
from collections.abc import Iterable, Mapping

from platebook.practice.defects import Defect, defects
from platebook.practice.fields import Field, choices, fields
from platebook.practice.results import DEFECTS, SEVERITIES
from platebook.practice.text import clean
from platebook.tables import csv_rows
from platebook.trade.cautions import work_steps
from platebook.values import Value

KINDS: Mapping[str, str] = {
    "stone": "stone and seat",
    "tool": "tools",
    "work": "steps of the work and exercises",
    "reading": "readings and looks",
    "answer": "answers",
    "defect": "what can be wrong",
    "record": "the log",
    "method": "how it is counted",
}
"""Each kind of word, as a heading says it."""

FIRST_SEEN = "first_seen"
ASKED: Mapping[str, str] = {
    "once": "Attempt, in the set-up",
    "plate": "Attempt, in the set-up, once a plate",
    "carried": "Attempt, in the set-up",
    "reading": "Attempt and Plate, before the result",
    "look": "Attempt and Plate, in the look",
    "optional": "Attempt, before it is saved, if wanted",
}
"""Where a field of each kind is asked."""


class Term(Value, kw_only=True):
    """One word and its meaning.

    `asked` says where it is asked or met, empty for nowhere in particular. `how` are further
    sentences: how it is read, what to do at a step, how bad it can be and what saves it. `field`
    and `value` are those of the record, by which it has its drawing; empty for other words.
    """

    word: str
    kind: str
    meaning: str
    asked: str = ""
    how: tuple[str, ...] = ()
    field: str = ""
    value: str = ""


@functools.cache
def glossary() -> tuple[Term, ...]:
    """Every word once for each thing that it means, in the order of the alphabet."""
    written = tuple(_written())
    covered = {term.field for term in written if not term.value}
    terms = (*written, *map(_defect, defects().values()), *_read(covered), *_beside())
    return tuple(sorted(terms, key=lambda term: (term.word.casefold(), term.kind)))


def terms_like(typed: str, terms: Iterable[Term] | None = None) -> tuple[Term, ...]:
    """The words that are meant, the likeliest first; all of them where nothing is typed.

    A word that is just that comes first, then those that begin so, those that hold what is typed,
    and those in whose meaning all typed words stand.
    """
    key = clean(typed).casefold().strip()
    ranked = ((_distance(key, term), term) for term in (glossary() if terms is None else terms))
    near = [(distance, term) for distance, term in ranked if distance is not None]
    return tuple(term for _, term in sorted(near, key=lambda pair: pair[0]))


def meant(word: str) -> tuple[Term, ...]:
    """What is meant by a word just so (`flush` the word, and the answer); else like `terms_like`.

    The other spellings of an answer or a defect are known too. Empty for a word that is nowhere.
    """
    key = clean(word).casefold().strip()
    exact = tuple(term for term in glossary() if key in _spellings(term))
    return exact or terms_like(word)


def near_words(word: str) -> tuple[str, ...]:
    """Words written almost like this one, for somebody who typed it wrongly."""
    words = {term.word.casefold(): term.word for term in glossary()}
    return tuple(words[near] for near in difflib.get_close_matches(word.casefold(), words, 3))


def term_of(field: str, value: str = "") -> Term | None:
    """The word that a field is, or this value of it; None where the glossary has none."""
    return next((t for t in glossary() if (t.field, t.value) == (field, value)), None)


def words_asked(field: str, offered: Iterable[str] = ()) -> tuple[Term, ...]:
    """The word of a field, then those of its answers, in the order in which they are asked.

    `offered` are the answers asked at this moment; where none of them has a word, all answers are.
    """
    words = {term.value: term for term in glossary() if term.field == field}
    known = [choice.value for choice in choices().get(field, ())]
    answers = [value for value in offered if value in words] or known
    return tuple(words[value] for value in ("", *answers) if value in words)


def _written() -> Iterable[Term]:
    named = ", ".join(DEFECTS)
    for row in csv_rows("platebook.practice", "glossary.csv"):
        field = fields().get(row["field"])
        yield Term(
            word=row["word"],
            kind=row["kind"],
            meaning=row["meaning"].format(defects=named),
            asked=row["where"] or _asked(field),
            how=_how(field, row["value"]),
            field=row["field"],
            value=row["value"],
        )


def _asked(field: Field | None) -> str:
    return ASKED.get(field.asked, "") if field is not None else ""


def _how(field: Field | None, value: str) -> tuple[str, ...]:
    if field is not None and value:
        return _step(value) if field.name == FIRST_SEEN else ()
    return (field.help,) if field is not None and field.help else ()


def _step(value: str) -> tuple[str, ...]:
    """What is done at a step, by the list of steps, where it has it under one of its names."""
    choice = next(c for c in choices()[FIRST_SEEN] if c.value == value)
    names = {choice.value, *choice.aliases}
    return tuple(step.say for step in work_steps() if step.name in names)


def _defect(defect: Defect) -> Term:
    looks = tuple(f"{SEVERITIES[int(n)]}: {words}." for n, words in defect.looks.items())
    check = defect.check
    test = (f"Test: {check}{'' if check.endswith('?') else '.'}",) if check else ()
    return Term(
        word=defect.name,
        kind="defect",
        meaning=defect.means or defect.check,
        asked="follows from stone and sheet" if defect.computed else _asked(fields()["result"]),
        how=(*test, *looks, *defect.do, defect.why),
        field="result",
        value=defect.name,
    )


def _read(covered: set[str]) -> Iterable[Term]:
    """Readings, looks and sizes that have no row of their own, by how they are read."""
    for field in fields().values():
        if field.help and field.name not in covered:
            yield Term(
                word=field.label,
                kind="reading",
                meaning=field.help,
                asked=_asked(field),
                field=field.name,
            )


def _beside() -> Iterable[Term]:
    """The steps of the work that are none at which a defect is first seen."""
    named = {name for c in choices()[FIRST_SEEN] for name in (c.value, *c.aliases)}
    for step in work_steps():
        if step.name not in named:
            yield Term(word=step.name, kind="work", meaning=step.say, asked="Now, in the steps")


def _spellings(term: Term) -> set[str]:
    aliases = (c.aliases for c in choices().get(term.field, ()) if c.value == term.value)
    return {term.word.casefold(), term.value.casefold(), *(a for some in aliases for a in some)}


def _distance(key: str, term: Term) -> int | None:
    """0 for the word itself, more the farther what is typed lies from it, None for not at all."""
    word = term.word.casefold()
    if not key or key in {word, term.value.casefold()}:
        return 0
    if word.startswith(key):
        return 1
    if key in word:
        return 2
    told = " ".join((term.meaning, *term.how)).casefold()
    return 3 if all(part in told for part in key.split()) else None
