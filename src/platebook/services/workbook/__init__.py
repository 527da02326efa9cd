"""The class as a workbook: what one setter's row rests on, and the sheets."""
