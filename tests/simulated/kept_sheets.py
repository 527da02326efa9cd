"""Four sheets as self-taught setters keep them: `python -m tests.simulated.kept_sheets`.

All people are invented, and so is the habit planted in each: loose where the bur is nearly as wide
as the stone.

* `buch-der-fassungen.csv`, Wendelin's, German, 240 rows: own headings and words, decimal commas,
  two-figure years, day and time apart, a line of totals, the music that was on;
* `carnet-de-sertissage.csv`, Odile's, French, 3,000 rows: saved as Windows text, slashes in dates,
  words for every result, a rating of her own;
* `bench-book.csv`, Marnie's, English, 420 rows: inches, gauges and number drills, months and
  severities in words;
* `cuaderno.xlsx`, Inés's, Spanish, 310 rows on two sheets: titles, columns in another order, days
  written once an evening, approximate sizes, totals by formula, hidden rows, notes below and beside
  the table, and a shopping list.
"""

import csv
import io
import random
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

from openpyxl import Workbook

DATA = Path(__file__).parents[1] / "data"
GERMAN, FRENCH = DATA / "buch-der-fassungen.csv", DATA / "carnet-de-sertissage.csv"
ENGLISH, SPANISH = DATA / "bench-book.csv", DATA / "cuaderno.xlsx"


@dataclass(frozen=True)
class Done:
    """One invented setting: when, where, sizes in mm, and how it came out."""

    began: datetime
    plate: int
    place: int
    stone_mm: float
    depth_mm: float
    bur_mm: float
    metal: str
    fit: int
    results: tuple[str, ...]
    severity: int
    minutes: int


METALS = ("copper", "brass", "sterling")


def season(seed: int, rows: int, *, each: int = 8) -> Iterator[Done]:
    """So many settings, a plate an evening; loose goes with a bur nearly as wide as the stone."""
    rng = random.Random(seed)  # noqa: S311 - a simulation
    day = date(2023, 1, 9)
    for number in range(rows):
        evening, place = divmod(number, each)
        if place == 0:
            day += timedelta(days=rng.choice((2, 3, 5)))
            clock = datetime(day.year, day.month, day.day, 18, rng.randrange(0, 59))  # noqa: DTZ001 - as a sheet has it
        stone = rng.choice((1.5, 2.0, 2.0, 2.5)) + rng.choice((-0.02, -0.01, 0.0, 0.01, 0.02))
        under = rng.choice((0.0, 0.05, 0.1, 0.1))
        metal = METALS[min(2, evening * 3 * each // rows)]
        results: list[str] = []
        if rng.random() < (0.55 if under < 0.03 else 0.08):
            results.append("loose")
        if rng.random() < 0.1:
            results.append("tilted")
        for name, chance in (("high", 0.06), ("chipped", 0.03), ("gap", 0.03), ("marred", 0.03)):
            if not results and rng.random() < chance:
                results.append(name)
        yield Done(
            began=clock + timedelta(minutes=21 * place),
            plate=evening + 1,
            place=place + 1,
            stone_mm=round(stone, 2),
            depth_mm=round(stone * 0.61, 2),
            bur_mm=round(round(stone, 1) - under, 2),
            metal=metal,
            fit=5 if under < 0.03 else rng.choice((2, 3, 3, 4)),
            results=tuple(results),
            severity=rng.choice((1, 2, 2, 3)),
            minutes=rng.randrange(12, 30),
        )


def _comma(number: float) -> str:
    return f"{number:.2f}".replace(".", ",")


def _text(rows: Sequence[Sequence[str]], separator: str) -> str:
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=separator).writerows(rows)
    return out.getvalue()


DE = {"loose": "zu locker", "tilted": "schief", "high": "steht hoch", "chipped": "ausgebrochen"}
DE |= {"gap": "Spalt", "marred": "Werkzeugspuren"}


def german() -> bytes:
    """The book of settings: 240 rows, a line of totals below."""
    rng = random.Random(3)  # noqa: S311 - a simulation
    head = "Datum;Uhrzeit;Platte;Loch;Stein Ø (mm);Steinhöhe;Steinart;Metall;Blech;Fräser Ø"
    head += ";Fräserform;Schmierung;Passung;Ergebnis;Dauer;Stein geprüft;Musik;Bemerkung"
    metals = {"copper": "Kupfer", "brass": "Messing", "sterling": "Silber"}
    rows = [head.split(";")]
    for done in season(11, 240):
        words = [DE[name] for name in done.results]
        if words and done.severity == 1:
            words[0] = f"etwas {words[0].removeprefix('zu ')}"
        result = " und ".join(words) or rng.choice(("gut", "gut", "i.O.", "passt", "gut geworden"))
        if done.results == ("loose",) and rng.random() < 0.15:
            result = "klappert"
        rows.append(
            [
                f"{done.began:%d.%m.%y}",
                f"{done.began:%H:%M} Uhr",
                f"P{done.plate}",
                str(done.place),
                _comma(done.stone_mm),
                _comma(done.depth_mm),
                rng.choice(("Zirkonia", "Zirkonia", "Zirkonia", "Glas")),
                metals[done.metal],
                rng.choice(("0,8", "0,81 mm", "20 ga")),
                _comma(done.bur_mm),
                "Hartfräser",
                rng.choice(("Wachs", "Bienenwachs", "ohne", "Öl")),
                str(done.fit),
                result,
                f"{done.minutes} Min",
                rng.choice(("ja", "ja", "nein", "x")),
                rng.choice(("Radio", "keine", "Klavier")),
                rng.choice(("", "", "", "müde", "neuer Fräser; läuft rund")),
            ]
        )
    rows.append([""] * 18)
    good = sum(not done.results for done in season(11, 240))
    rows.append(["Summe", "", "", "240", *[""] * 9, str(good), "", "", "", ""])
    return b"\xef\xbb\xbf" + _text(rows, ";").encode()


FR = {"loose": "bouge", "tilted": "penchée", "high": "trop haute", "chipped": "ébréchée"}
FR |= {"gap": "pas fermé", "marred": "métal rayé"}


def french() -> bytes:
    """The notebook: 3,000 rows as a Windows program saves them."""
    rng = random.Random(5)  # noqa: S311 - a simulation
    head = "Date;Heure;N° plaque;Trou;Pierre;Ø pierre;Hauteur pierre;Métal;Épaisseur;Fraise Ø"
    head += ";Lubrifiant;Ajustement;Défauts;Temps passé;Pierre contrôlée;Satisfaction;Remarques"
    metals = {"copper": "cuivre", "brass": "laiton", "sterling": "argent"}
    rows = [head.split(";")]
    for done in season(13, 3000):
        words = [FR[name] for name in done.results]
        if words and done.severity == 1:
            words[0] = f"légèrement {words[0].removeprefix('trop ')}"
        result = " et ".join(words) or rng.choice(("bon", "bien", "réussi", "rien à dire"))
        if done.results == ("tilted",) and rng.random() < 0.2:
            result = "pas d'aplomb"
        rows.append(
            [
                f"{done.began:%d/%m/%Y}",
                f"{done.began:%Hh%M}",
                f"PL {done.plate}",
                str(done.place),
                "zircone",
                _comma(done.stone_mm),
                _comma(done.depth_mm),
                metals[done.metal],
                "0,8 mm",
                _comma(done.bur_mm),
                rng.choice(("cire", "cire d'abeille", "huile")),
                {2: "serré", 3: "clique", 4: "tombe dedans", 5: "trop large"}[done.fit],
                result,
                f"{done.minutes} min",
                rng.choice(("oui", "oui", "non")),
                rng.choice(("1", "2", "3", "4", "5")),
                rng.choice(("", "", "fatiguée", "nouvelle fraise, très bien")),
            ]
        )
    return _text(rows, ";").encode("cp1252")


EN = {"loose": "loose", "tilted": "crooked", "high": "sits high", "chipped": "chipped"}
EN |= {"gap": "rim open", "marred": "tool marks"}


def english() -> bytes:
    """The bench book: 420 rows in inches and gauges."""
    rng = random.Random(7)  # noqa: S311 - a simulation
    head = "When,Stone (in),Stone Depth (in),Stone Type,Metal,Sheet,Drill,Bur Used (thou)"
    head += ",Lube,Fit,How it came out,Mins,Checked?,Lamp,Notes"
    metals = {"copper": "Copper", "brass": "Brass", "sterling": "SS"}
    rows = [head.split(",")]
    for done in season(17, 420):
        words = [EN[name] for name in done.results]
        if words and done.severity != 2:
            words[0] = f"{'a bit' if done.severity == 1 else 'very'} {words[0]}"
        result = ", ".join(words) or rng.choice(("Good", "good", "fine", "nice"))
        if not done.results and rng.random() < 0.06:
            result = "meh"
        rows.append(
            [
                f"{done.began:%d %B %Y %H:%M}",
                f"{done.stone_mm / 25.4:.3f}".removeprefix("0"),
                f"{done.depth_mm / 25.4:.3f}",
                rng.choice(("CZ", "cz", "Cubic Zirconia")),
                metals[done.metal],
                "20 ga",
                "#70",
                f"{done.bur_mm / 0.0254:.0f}",
                rng.choice(("Beeswax", "wax", "none")),
                str(done.fit),
                result,
                str(done.minutes),
                rng.choice(("Y", "Y", "N")),
                rng.choice(("LED", "window")),
                rng.choice(("", "", "cold hands", 'new bur, "runs true"')),
            ]
        )
    return _text(rows, ",").encode()


ES = {"loose": "suelta", "tilted": "torcida", "high": "sobresale", "chipped": "astillada"}
ES |= {"gap": "hueco", "marred": "resbalón"}


def spanish() -> Workbook:
    """The notebook on two sheets, with all that people do to a sheet."""
    rng = random.Random(9)  # noqa: S311 - a simulation
    metals = {"copper": "cobre", "brass": "latón", "sterling": "plata"}
    names: tuple[str, ...] = (
        "Nº",
        "Fecha",
        "Piedra",
        "Ø",
        "Metal",
        "Espesor",
        "Fresa",
        "Cera",
        "Resultado",
    )
    names = (*names, "Duración", "Revisada", "Humor", "Nota", "Diferencia")
    book = Workbook()
    logs = list(season(19, 310, each=10))
    for title, chosen, order in (
        ("2023", logs[:160], names),
        ("2024", logs[160:], (*names[:3], names[8], *names[3:8], *names[9:])),
    ):
        page = book.create_sheet(title)
        page.append([f"Cuaderno de Inés, {title}"])
        page.append([])
        page.append([*order, None, "buenas"])
        for number, done in enumerate(chosen):
            words = [ES[name] for name in done.results]
            if words and done.severity == 1:
                words[0] = f"un poco {words[0]}"
            result = " y ".join(words) or rng.choice(("bien", "bueno", "perfecto"))
            if done.results == ("loose",) and rng.random() < 0.1:
                result = "baila"
            first = number % 10 == 0
            size: object = done.stone_mm
            if rng.random() < 0.05:
                size = f"ca. {_comma(done.stone_mm)}"
            cells: dict[str, object] = {
                "Nº": (0 if title == "2023" else 160) + number + 1,
                "Fecha": done.began.date() if first else None,
                "Piedra": "circonita",
                "Ø": size,
                "Metal": metals[done.metal],
                "Espesor": "0,8",
                "Fresa": done.bur_mm,
                "Cera": rng.choice(("cera", "aceite", "sin")),
                "Resultado": result,
                "Duración": done.minutes,
                "Revisada": rng.choice(("sí", "no")),
                "Humor": rng.choice(("bien", "cansada", "con prisa")),
                "Nota": rng.choice((None, None, "tarde", "fresa nueva")),
                "Diferencia": f"=D{number + 4}-G{number + 4}",
            }
            beside = [None, 1] if number == 3 else []
            page.append([*(cells[name] for name in order), *beside])
        last = len(chosen) + 3
        column = "I" if title == "2023" else "D"
        page.append(["Total", *[None] * 2, f'=COUNTIF({column}4:{column}{last},"bien")'])
        page.append([])
        page.append(["Pedir fresas de 1,9 y 2,4 antes de abril."])
        for hidden in (20, 21, 33):
            page.row_dimensions[hidden].hidden = True
    shopping = book.create_sheet("Compras")
    shopping.append(["Cosa", "Cuánto"])
    shopping.append(["cera", 2])
    book.remove(book.worksheets[0])
    return book


def saved(book: Workbook) -> bytes:
    """The file as a spreadsheet saves it, with one date in it for all time."""
    out, again = io.BytesIO(), io.BytesIO()
    book.properties.created = book.properties.modified = datetime(2026, 1, 1)  # noqa: DTZ001 - the format has none
    book.save(out)
    with ZipFile(out) as old, ZipFile(again, "w", ZIP_DEFLATED) as new:
        for part in old.infolist():
            content = old.read(part.filename)
            content = re.sub(rb"20\d\d-\d\d-\d\dT[\d:]+Z", b"2026-01-01T00:00:00Z", content)
            part.date_time = (2026, 1, 1, 0, 0, 0)
            new.writestr(part, content)
    return again.getvalue()


def write_all() -> None:
    """Write the four files anew."""
    GERMAN.write_bytes(german())
    FRENCH.write_bytes(french())
    ENGLISH.write_bytes(english())
    SPANISH.write_bytes(saved(spanish()))


if __name__ == "__main__":
    write_all()
