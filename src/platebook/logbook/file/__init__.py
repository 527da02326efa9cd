"""The file itself: where it lies, its connection, opening, restoring, whether it is whole."""
