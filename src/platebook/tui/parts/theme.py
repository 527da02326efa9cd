"""The colours of the bench: pitch, copper and silver; in the dark, by day, in high contrast.

No colour carries a meaning alone: a sign or a word stands beside it. The five of `signs` were
looked for by computer: every two of them stand apart for usual and for colour-blind eyes.
"""

from textual.theme import Theme

BENCH = Theme(
    name="bench",
    dark=True,
    primary="#c98a5b",
    secondary="#a9b4b8",
    accent="#e0a370",
    foreground="#e6dfd5",
    background="#1d1a17",
    surface="#25211d",
    panel="#302a25",
    success="#a3c293",
    warning="#e3c26f",
    error="#e08a72",
    variables={
        "muted": "#a2968a",
        "rule": "#4a4138",
        "metal": "#c98a5b",
        "stone": "#d5dfe3",
        "good": "#aee3b8",
        "slight": "#f2e15a",
        "failed": "#f16744",
        "practised": "#6a9fc6",
        "unknown": "#9a938c",
        "input-cursor-background": "#e0a370",
        "input-selection-background": "#c98a5b 40%",
    },
)

DAYLIGHT = Theme(
    name="daylight",
    dark=False,
    primary="#8a4b1f",
    secondary="#47545a",
    accent="#7a3d12",
    foreground="#2a241e",
    background="#f4efe6",
    surface="#ebe4d8",
    panel="#dfd6c7",
    success="#2f6a2c",
    warning="#745400",
    error="#9c2f18",
    variables={
        "muted": "#675c50",
        "rule": "#b9ab98",
        "metal": "#8a4b1f",
        "stone": "#33454d",
        "good": "#122f2a",
        "slight": "#3c2601",
        "failed": "#a9340c",
        "practised": "#285c91",
        "unknown": "#60564c",
        "input-cursor-background": "#7a3d12",
    },
)

CONTRAST = Theme(
    name="high contrast",
    dark=True,
    primary="#ffffff",
    secondary="#ffffff",
    accent="#ffff00",
    foreground="#ffffff",
    background="#000000",
    surface="#000000",
    panel="#262626",
    success="#ffffff",
    warning="#ffff00",
    error="#ffffff",
    variables={
        "muted": "#ffffff",
        "rule": "#ffffff",
        "metal": "#ffb000",
        "stone": "#ffffff",
        "good": "#ffffff",
        "slight": "#ffff00",
        "failed": "#ffb000",
        "practised": "#ffffff",
        "unknown": "#ffffff",
        "input-cursor-background": "#ffff00",
    },
)

THEMES = (BENCH, DAYLIGHT, CONTRAST)
