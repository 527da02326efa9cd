"""The places where keys work: every screen with its title, and which are pages, lists and long."""

EVERYWHERE = "everywhere"
PLACES = {
    EVERYWHERE: "Everywhere",
    "now": "Now",
    "attempt": "Attempt",
    "saved": "Attempt, after saving",
    "plate": "Plate",
    "log": "Log",
    "findings": "Findings",
    "progress": "Progress",
    "course": "Course",
    "drawer": "Drawer",
    "class": "Class",
    "shared": "What the class shares",
    "register": "Who came",
    "setters": "Who is at the bench?",
    "pick class": "Which class?",
    "new class": "A new class",
    "plate looks": "A plate to judge",
    "second look": "Second look",
    "seeing": "Seeing",
    "first run": "First start",
    "sheet": "Bring a spreadsheet in",
    "share": "Share",
    "history": "History of an attempt",
    "glossary": "Words",
    "settings": "Settings",
    "trouble": "When something did not work",
    "help": "Help",
}
PAGES = ("now", "log", "findings", "progress", "course", "drawer", "class")
TYPED_IN = ("first run", "new class", "sheet", "share", "glossary")
"""Where a question mark is typed like any letter, so that help has its F-key alone."""

ASIDE = ("attempt", "plate", "shared", "register")
"""What lies over a page and is left for another page by an F-key, with all that is typed kept."""

AT_ONCE = ("now",)
"""Screens without inputs from which keys lead elsewhere: the app itself takes their keys, in the
order they came, so that what is typed ahead reaches the screen that the key before it opened."""
PAGED = (
    "now",
    "log",
    "findings",
    "progress",
    "shared",
    "register",
    "class",
    "setters",
    "pick class",
)
LISTS = (
    "second look",
    "seeing",
    "log",
    "findings",
    "progress",
    "course",
    "drawer",
    "class",
    "setters",
    "pick class",
)
LONG_LISTS = ("class", "setters", "pick class")
"""Lists of people and classes, which may be longer than any screen."""
