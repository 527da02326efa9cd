"""`platebook glossary [WORD]`: the words of the trade, the log and the methods."""

import click

from platebook.cli.terminal.completion import terms
from platebook.cli.terminal.options import json_option, print_json, refuse, shows_dots, tell


@click.command("glossary")
@click.argument("word", nargs=-1, shell_complete=terms)
@click.option("--plain", is_flag=True, help="Words alone, without a drawing (as in a pipe).")
@json_option
def command(*, word: tuple[str, ...], plain: bool, as_json: bool) -> None:
    """What a WORD means, how it is read and where it is asked; without one, all words.

    A part of a word, another spelling or words of its explanation find it as well.
    """
    from platebook.practice.glossary import glossary, meant, near_words
    from platebook.reports.text.glossary_text import entry_lines, entry_values, list_lines

    typed = " ".join(word)
    found = meant(typed) if typed.strip() else glossary()
    if not found:
        near = near_words(typed)
        did_you = f" Did you mean {' or '.join(near)}?" if near else ""
        refuse([f"No word {typed!r} in the glossary.{did_you}"])
    if as_json:
        print_json({"terms": [entry_values(term) for term in found]})
    elif len(found) > MOST_WHOLE:
        tell("\n".join(list_lines(found)))
    else:
        picture = not plain and shows_dots()
        tell("\n\n".join("\n".join(entry_lines(term, picture=picture)) for term in found))


MOST_WHOLE = 3
"""So many entries are printed whole; of more only what each means."""
