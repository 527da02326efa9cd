"""CSV, XLSX, bundle: in and out.

`import_csv` and `import_xlsx` read attempts and name every problem, `write_csv` and `write_xlsx`
write them so that they read back exactly, `read_map` reads what headings and values of one's own
mean.
"""

from typing import TYPE_CHECKING

from platebook.lazy_names import lazy_names

if TYPE_CHECKING:
    from platebook.exchange.csv_file import import_csv, write_csv
    from platebook.exchange.sheets.answers import read_map
    from platebook.exchange.xlsx_file import import_xlsx
    from platebook.exchange.xlsx_writer import write_xlsx

__all__ = ["import_csv", "import_xlsx", "read_map", "write_csv", "write_xlsx"]

_ROOMS = {
    "import_csv": "csv_file",
    "import_xlsx": "xlsx_file",
    "read_map": "sheets.answers",
    "write_csv": "csv_file",
    "write_xlsx": "xlsx_writer",
}

__getattr__ = lazy_names(__name__, _ROOMS)
